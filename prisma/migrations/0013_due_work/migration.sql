-- Where and when the programme's office works; without a row as the first laboratory's zone, Monday to Friday.
CREATE TABLE "office" (
    "id" INTEGER NOT NULL DEFAULT 1,
    "zone" TEXT NOT NULL,
    -- ISO weekdays, 1 is Monday
    "weekdays" INTEGER[] NOT NULL,
    -- local days on which nobody is there
    "closed" DATE[] NOT NULL DEFAULT '{}',
    CONSTRAINT "office_pkey" PRIMARY KEY ("id"),
    CONSTRAINT "office_one" CHECK ("id" = 1 AND cardinality("weekdays") > 0 AND "weekdays" <@ '{1,2,3,4,5,6,7}')
);
ALTER TABLE "office" ENABLE ROW LEVEL SECURITY, FORCE ROW LEVEL SECURITY;
CREATE POLICY "office_seen" ON "office" FOR SELECT USING (true);
CREATE POLICY "office_entered" ON "office" USING ((SELECT holdfast_sees_all())) WITH CHECK ((SELECT holdfast_sees_all()));
GRANT SELECT, INSERT, UPDATE ON "office" TO holdfast_app;

-- That something overdue is left aside for a while. Never changed: a later one of the same subject takes its place.
CREATE TABLE "snooze" (
    "seq" BIGSERIAL NOT NULL,
    -- what is overdue, as lib/schedule names it
    "subject" TEXT NOT NULL,
    "plant" TEXT NOT NULL,
    "laboratory" TEXT NOT NULL,
    "until_at" TIMESTAMPTZ(3) NOT NULL,
    "reason" TEXT NOT NULL,
    "made_by" TEXT NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,
    CONSTRAINT "snooze_pkey" PRIMARY KEY ("seq")
);
CREATE INDEX "snooze_subject_seq_idx" ON "snooze"("subject", "seq");
ALTER TABLE "snooze" ENABLE ROW LEVEL SECURITY, FORCE ROW LEVEL SECURITY;
CREATE POLICY "snooze_seen" ON "snooze" USING (
    (SELECT holdfast_sees_all())
    OR "plant" = ANY ((SELECT holdfast_plants())::text[])
    OR "laboratory" = ANY ((SELECT holdfast_laboratories())::text[]));
GRANT SELECT, INSERT ON "snooze" TO holdfast_app;
GRANT USAGE ON SEQUENCE "snooze_seq_seq" TO holdfast_app;

-- What can still ask for something, found without reading what is over and done.
CREATE INDEX "sample_unreported" ON "sample"("code") WHERE "stage" IS DISTINCT FROM 'reported';
CREATE INDEX "sample_lapsed" ON "sample"("code") WHERE "settled" = 'lapsed';
CREATE INDEX "event_of_deviation" ON "event"("sample") WHERE "kind" = 'deviation' AND "sample" IS NOT NULL;
