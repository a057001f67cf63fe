-- When the last event or limit that counts for a sample took effect: a clock that was ahead and is set back finds the rows that
-- it does not reach any more. Null until the row is derived again.
ALTER TABLE "sample" ADD COLUMN "holds_from_at" TIMESTAMPTZ(3);
CREATE INDEX "sample_holds_from_at_idx" ON "sample" ("holds_from_at");
