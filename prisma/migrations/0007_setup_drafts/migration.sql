-- Changes to the register that someone has entered on a page and not yet confirmed. Thrown away after a day.
CREATE TABLE "setup_draft" (
    "id" TEXT NOT NULL,
    -- as the record of who did what names them
    "made_by" TEXT NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,
    "content" JSONB NOT NULL,
    CONSTRAINT "setup_draft_pkey" PRIMARY KEY ("id")
);
CREATE INDEX "setup_draft_made_at_idx" ON "setup_draft"("made_at");
ALTER TABLE "setup_draft" ENABLE ROW LEVEL SECURITY, FORCE ROW LEVEL SECURITY;
CREATE POLICY "setup_draft_kept" ON "setup_draft" USING ((SELECT holdfast_sees_all())) WITH CHECK ((SELECT holdfast_sees_all()));
GRANT SELECT, INSERT, DELETE ON "setup_draft" TO holdfast_app;
