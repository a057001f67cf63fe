-- What was reported of a sample and when each report became known, so that a lane's record as it was known at any time
-- is made in one read of this table. Derived; the rows there are get theirs when they are derived again at the next start.
ALTER TABLE "sample" ADD COLUMN "journey" JSONB;
