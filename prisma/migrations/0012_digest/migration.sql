-- The weekly mail: what a person chose about it, and one row for each that is due. Only holdfast_door reaches any of it:
-- addresses are people's, and a mail as it was sent holds what its reader may see.

CREATE TABLE "digest_preference" (
    "person_id" TEXT NOT NULL,
    -- BCP 47 tag by which dates are written
    "language" TEXT NOT NULL DEFAULT 'en-GB',
    "is_wanted" BOOLEAN NOT NULL DEFAULT true,
    -- whether a week with nothing overdue still brings one line
    "wants_quiet_line" BOOLEAN NOT NULL DEFAULT true,
    -- an address that several may share; NULL: the person's own
    "mailbox" TEXT,
    "stand_in_id" TEXT,
    -- first and last local day of the stand-in
    "stand_in_from" DATE,
    "stand_in_until" DATE,
    -- which of 'at risk', 'lapsed' and 'arrived' are told at once
    "at_once" TEXT[] NOT NULL DEFAULT '{}',
    -- counts up where links to unsubscribe that were mailed are to work no more
    "token_serial" INTEGER NOT NULL DEFAULT 0,
    CONSTRAINT "digest_preference_pkey" PRIMARY KEY ("person_id"),
    CONSTRAINT "digest_preference_person_id_fkey" FOREIGN KEY ("person_id") REFERENCES "person"("id") ON DELETE CASCADE ON UPDATE CASCADE,
    CONSTRAINT "digest_preference_stand_in_id_fkey" FOREIGN KEY ("stand_in_id") REFERENCES "person"("id") ON DELETE SET NULL ON UPDATE CASCADE,
    CONSTRAINT "digest_preference_stand_in" CHECK ("stand_in_id" <> "person_id" AND "stand_in_from" <= "stand_in_until")
);

-- A mail that is to go, or has gone. The key is what makes it one for each person and week.
CREATE TABLE "digest_mail" (
    "person_id" TEXT NOT NULL,
    -- an ISO week, like 2026-W48; for a mail at once what it is about
    "occasion" TEXT NOT NULL,
    "due_at" TIMESTAMPTZ(3) NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'waiting',
    "tries" INTEGER NOT NULL DEFAULT 0,
    -- not before then is it tried again
    "try_at" TIMESTAMPTZ(3) NOT NULL,
    -- the person whose mail this one is part of
    "carried_by" TEXT,
    "address" TEXT,
    "message_id" TEXT,
    "subject" TEXT,
    "body_text" TEXT,
    "body_html" TEXT,
    -- what it named, so that the next can say what has changed
    "named" TEXT[] NOT NULL DEFAULT '{}',
    -- the mail server's own words, or ours
    "said" TEXT,
    "ended_at" TIMESTAMPTZ(3),
    CONSTRAINT "digest_mail_pkey" PRIMARY KEY ("person_id", "occasion"),
    CONSTRAINT "digest_mail_person_id_fkey" FOREIGN KEY ("person_id") REFERENCES "person"("id") ON DELETE CASCADE ON UPDATE CASCADE,
    CONSTRAINT "digest_mail_state" CHECK ("state" IN ('waiting', 'sent', 'written', 'carried', 'nothing to say', 'refused', 'given up', 'uncertain'))
);
CREATE INDEX "digest_mail_waiting" ON "digest_mail"("try_at") WHERE "state" = 'waiting';

-- Put here, and committed, just before the last line of a mail goes to the mail server. Where a mail has a row here and
-- no fate, the machine stopped in between, and the server may have it. The key lets one sender at a time so far.
CREATE TABLE "digest_handover" (
    "person_id" TEXT NOT NULL,
    "occasion" TEXT NOT NULL,
    "begun_at" TIMESTAMPTZ(3) NOT NULL,
    CONSTRAINT "digest_handover_pkey" PRIMARY KEY ("person_id", "occasion")
);

-- Whether a sample that turned at risk has been told of, and since when it has been below.
CREATE TABLE "digest_alarm" (
    "code" TEXT NOT NULL,
    "is_armed" BOOLEAN NOT NULL,
    "below_since" TIMESTAMPTZ(3),
    -- how often it has turned
    "turns" INTEGER NOT NULL DEFAULT 0,
    CONSTRAINT "digest_alarm_pkey" PRIMARY KEY ("code")
);

-- When in its week the programme's mail goes; without a row on Monday at seven.
CREATE TABLE "digest_time" (
    "id" INTEGER NOT NULL DEFAULT 1,
    -- ISO weekday, 1 is Monday
    "weekday" INTEGER NOT NULL,
    "minute_of_day" INTEGER NOT NULL,
    CONSTRAINT "digest_time_pkey" PRIMARY KEY ("id"),
    CONSTRAINT "digest_time_one" CHECK ("id" = 1 AND "weekday" BETWEEN 1 AND 7 AND "minute_of_day" BETWEEN 0 AND 1439)
);

GRANT SELECT, INSERT, UPDATE, DELETE ON "digest_preference", "digest_handover", "digest_alarm" TO holdfast_door;
GRANT SELECT, INSERT, UPDATE ON "digest_mail", "digest_time" TO holdfast_door;
