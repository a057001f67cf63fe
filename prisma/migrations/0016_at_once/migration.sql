-- What is told at once. A choice has the time from which it holds: nothing is told of what happened before.

CREATE TABLE "at_once_choice" (
    "person_id" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "since_at" TIMESTAMPTZ(3) NOT NULL,
    CONSTRAINT "at_once_choice_pkey" PRIMARY KEY ("person_id", "kind"),
    CONSTRAINT "at_once_choice_person_id_fkey" FOREIGN KEY ("person_id") REFERENCES "person"("id") ON DELETE CASCADE ON UPDATE CASCADE,
    CONSTRAINT "at_once_choice_kind" CHECK ("kind" IN ('at risk', 'lapsed', 'arrived'))
);

-- No form ever wrote at_once, so there is nothing in it to keep.
ALTER TABLE "digest_preference"
    DROP COLUMN "at_once",
    -- stopped by a link: neither their own nor those of whom they stand in for
    ADD COLUMN "at_once_is_stopped" BOOLEAN NOT NULL DEFAULT false,
    -- counts up where links that were mailed to stop them are to work no more
    ADD COLUMN "at_once_serial" INTEGER NOT NULL DEFAULT 0;

-- When samples were last looked at for what is to be told at once, and the newest event that was there then.
CREATE TABLE "at_once_look" (
    "id" INTEGER NOT NULL DEFAULT 1,
    "looked_at" TIMESTAMPTZ(3) NOT NULL,
    "event_seq" BIGINT NOT NULL,
    CONSTRAINT "at_once_look_pkey" PRIMARY KEY ("id"),
    CONSTRAINT "at_once_look_one" CHECK ("id" = 1)
);

GRANT SELECT, INSERT, UPDATE, DELETE ON "at_once_choice" TO holdfast_door;
GRANT SELECT, INSERT, UPDATE ON "at_once_look" TO holdfast_door;
