-- When a mail is tried, and tried again, is the queue's to say, which has a schema of its own (lib/store/queueSchema.ts).
-- Its row stays the ledger: what keeps it single, and what became of it.

DROP INDEX "digest_mail_waiting";
ALTER TABLE "digest_mail" DROP COLUMN "try_at";
-- the job of the queue that sees to it; a mail that waits and has none is given one by the next look
ALTER TABLE "digest_mail" ADD COLUMN "job_id" UUID;
CREATE INDEX "digest_mail_waiting" ON "digest_mail"("job_id") WHERE "state" = 'waiting';
