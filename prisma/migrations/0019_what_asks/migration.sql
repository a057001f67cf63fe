-- What can still ask for something is found by the rows that can, however many are over and done. Derived; the rows there
-- are get theirs when they are derived again at the next start.
ALTER TABLE "sample"
    -- the product, where the sample's plant makes it or once did; NULL: what is another maker's counts for nothing
    ADD COLUMN "made" TEXT,
    -- since when it has to be cut again, as far as that follows from what was reported and not from the time of asking
    ADD COLUMN "failed_at" TIMESTAMPTZ(3),
    -- a deviation waits for a ruling
    ADD COLUMN "is_unruled" BOOLEAN NOT NULL DEFAULT false;

DROP INDEX "sample_unreported";
DROP INDEX "sample_lapsed";
DROP INDEX "event_of_deviation";
CREATE INDEX "sample_unfinished" ON "sample"("plant") WHERE "stage" IS DISTINCT FROM 'reported' AND "ending" IS NULL AND "purpose" <> 'retained';
CREATE INDEX "sample_failed" ON "sample"("plant") INCLUDE ("code", "laboratory", "made", "replaced_by", "failed_at") WHERE "failed_at" IS NOT NULL AND "purpose" IN ('first', 're-collection');
CREATE INDEX "sample_unruled" ON "sample"("plant") WHERE "is_unruled" AND "purpose" <> 'retained' AND "ending" IS DISTINCT FROM 'cancelled';
-- the tests of a product, by when their kits were issued
CREATE INDEX "sample_made_issued_at_idx" ON "sample"("made", "issued_at");
