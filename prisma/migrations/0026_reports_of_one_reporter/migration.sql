-- Each reporter may report so much of one sample or consignment. With the reporter in the index, counting their reports takes as
-- long whatever others have reported, so the time of an answer tells nothing about another's sample.
DROP INDEX "event_of_sample";
CREATE INDEX "event_of_sample" ON "event" ("sample", "reported_by") WHERE "sample" IS NOT NULL;
DROP INDEX "event_of_consignment";
CREATE INDEX "event_of_consignment" ON "event" ("service", "waybill_key", "reported_by") WHERE "sample" IS NULL;
