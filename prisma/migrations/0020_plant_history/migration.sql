-- A plant's settled samples are read page by page, newest settled first, and counted.
CREATE INDEX "sample_settled" ON "sample"("plant", "settled_at", "code") INCLUDE ("laboratory") WHERE "settled" IS NOT NULL;
