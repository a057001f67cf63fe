-- The newest report that proves something of a product: whatever failed before it is proved since. Without this index it is
-- looked for among every sample of the product.
CREATE INDEX "sample_proved" ON "sample"("made", "issued_at") WHERE "stage" = 'reported' AND "failed_at" IS NULL AND NOT "is_unruled" AND "purpose" IN ('first', 're-collection');
-- Reported before something that has to come first, as before its loading: its times are asked for, and its report is held.
CREATE INDEX "sample_out_of_order" ON "sample"("plant") WHERE "stage" = 'reported' AND "ending" IS NULL AND "purpose" <> 'retained' AND 'out of order' = ANY ("flags");
-- What names a sample as its replacement bears on what is asked of that one.
CREATE INDEX "sample_replaced_by" ON "sample"("replaced_by") WHERE "replaced_by" IS NOT NULL;
