-- The sides for which the reporter of an event spoke; null: none, as for all events before this. Each side counts at its own
-- places: 'plant' at reporter_plants, 'laboratory' at reporter_laboratories, the others everywhere.
ALTER TABLE "event" ADD COLUMN "reporter_sides" TEXT[];

-- A hand-over that names a waybill under which another maker's sample travels waits beside the events that match no sample.
ALTER TABLE "unplaced" ADD COLUMN "is_claim" BOOLEAN NOT NULL DEFAULT false;

-- The sides for which a key speaks. Its kinds, if none were named, are those of its sides.
ALTER TABLE "api_key" ADD COLUMN "sides" TEXT[];
UPDATE "api_key" SET "sides" = CASE
  WHEN cardinality("plants") > 0 AND cardinality("laboratories") > 0 THEN '{plant,laboratory}'::text[]
  WHEN cardinality("laboratories") > 0 THEN '{laboratory}'
  WHEN "plants" IS NOT NULL OR "laboratories" IS NOT NULL THEN '{plant}'
  WHEN "kinds" <@ '{delivered,lost,returned,scanned,held,"customs cleared",withdrawn}' THEN '{carrier}'
  ELSE '{programme}' END;
ALTER TABLE "api_key" ALTER COLUMN "sides" SET NOT NULL;
