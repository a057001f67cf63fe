-- a retained sample with something found is listed as in question, too
DROP INDEX "sample_unruled";
CREATE INDEX "sample_unruled" ON "sample"("plant") WHERE "is_unruled" AND "ending" IS DISTINCT FROM 'cancelled';
