-- How likely an open sample is to miss the limit that binds it, as it was last worked out. Derived from the samples and
-- from time, so a row may be thrown away at any time and is worked out anew.
CREATE TABLE "forecast" (
    "code" TEXT NOT NULL,
    "plant" TEXT NOT NULL,
    "laboratory" TEXT NOT NULL,
    -- the limit likeliest to be missed; NULL with all that follows where nothing can be forecast
    "limit_name" TEXT,
    -- when the standing turns by the chance of missing a limit, if nothing new is reported
    "tight_at" TIMESTAMPTZ(3),
    "at_risk_at" TIMESTAMPTZ(3),
    "risk" DOUBLE PRECISION,
    "low" DOUBLE PRECISION,
    "high" DOUBLE PRECISION,
    "needs_opening" BOOLEAN NOT NULL DEFAULT false,
    -- the same for each running clock, and what it rests on
    "detail" JSONB,
    -- NULL: the sample has changed since, and is to be scored anew
    "scored_at" TIMESTAMPTZ(3),
    CONSTRAINT "forecast_pkey" PRIMARY KEY ("code"),
    CONSTRAINT "forecast_code_fkey" FOREIGN KEY ("code") REFERENCES "sample"("code") ON DELETE CASCADE ON UPDATE CASCADE
);
CREATE INDEX "forecast_scored_at_idx" ON "forecast"("scored_at");
CREATE INDEX "forecast_turned" ON "forecast"("tight_at") WHERE "limit_name" IS NOT NULL;

ALTER TABLE "forecast" ENABLE ROW LEVEL SECURITY, FORCE ROW LEVEL SECURITY;
CREATE POLICY "forecast_seen" ON "forecast" FOR SELECT USING (
    (SELECT holdfast_sees_all())
    OR "plant" = ANY ((SELECT holdfast_plants())::text[])
    OR "laboratory" = ANY ((SELECT holdfast_laboratories())::text[]));
CREATE POLICY "forecast_scored" ON "forecast" USING ((SELECT holdfast_sees_all())) WITH CHECK ((SELECT holdfast_sees_all()));
GRANT SELECT, INSERT, UPDATE, DELETE ON "forecast" TO holdfast_app;
