-- The newest report that proves something of a product: whatever failed before it is proved since. Without this index it is
-- looked for among every sample of the product.
CREATE INDEX "sample_proved" ON "sample"("made", "issued_at") WHERE "stage" = 'reported' AND "failed_at" IS NULL AND NOT "is_unruled" AND "purpose" IN ('first', 're-collection');
