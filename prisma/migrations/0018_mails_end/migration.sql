-- What a mail said has an end; that there was one for its person and week, and what became of it, is kept.

ALTER TABLE "digest_mail"
    -- when what it said, where it went and the mail server's words were let go of
    ADD COLUMN "emptied_at" TIMESTAMPTZ(3),
    ADD CONSTRAINT "digest_mail_emptied" CHECK ("emptied_at" IS NULL OR ("ended_at" IS NOT NULL AND "state" <> 'waiting'
        AND "address" IS NULL AND "message_id" IS NULL AND "subject" IS NULL AND "body_text" IS NULL AND "body_html" IS NULL
        AND "named" = '{}' AND "said" IS NULL));
CREATE INDEX "digest_mail_whole" ON "digest_mail"("ended_at") WHERE "emptied_at" IS NULL;

-- Whose a mail is, for what and since when it is due stays as it was entered: that keeps it single.
REVOKE UPDATE ON "digest_mail" FROM holdfast_door;
GRANT UPDATE ("state", "tries", "address", "message_id", "subject", "body_text", "body_html", "named", "said", "ended_at",
    "job_id", "part_of", "emptied_at") ON "digest_mail" TO holdfast_door;
