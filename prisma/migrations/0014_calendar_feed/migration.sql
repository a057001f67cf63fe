-- Addresses under which a calendar program reads what is due at a plant, and the versions of what it has read. Only
-- holdfast_door reaches them: whose address it is has to be known before it is known what may be seen.

CREATE TABLE "calendar_feed" (
    "id" TEXT NOT NULL,
    "plant" TEXT NOT NULL,
    -- SHA-256 of the secret in the address, which is shown once
    "hash" BYTEA NOT NULL,
    -- who made it: it works as long as they may see the plant
    "person_id" TEXT NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,
    "last_read_at" TIMESTAMPTZ(3),
    "revoked_at" TIMESTAMPTZ(3),
    CONSTRAINT "calendar_feed_pkey" PRIMARY KEY ("id"),
    CONSTRAINT "calendar_feed_person_id_fkey" FOREIGN KEY ("person_id") REFERENCES "person"("id") ON DELETE CASCADE ON UPDATE CASCADE
);
CREATE UNIQUE INDEX "calendar_feed_hash_key" ON "calendar_feed"("hash");
CREATE INDEX "calendar_feed_plant_idx" ON "calendar_feed"("plant");

-- What an entry of a plant's calendar last said, so that a change raises its version and nothing else does.
CREATE TABLE "calendar_entry" (
    "plant" TEXT NOT NULL,
    "uid" TEXT NOT NULL,
    -- SHA-256 of all that it says
    "digest" BYTEA NOT NULL,
    "sequence" INTEGER NOT NULL DEFAULT 0,
    "modified_at" TIMESTAMPTZ(3) NOT NULL,
    CONSTRAINT "calendar_entry_pkey" PRIMARY KEY ("plant", "uid")
);

GRANT SELECT, INSERT, UPDATE ON "calendar_feed", "calendar_entry" TO holdfast_door;
