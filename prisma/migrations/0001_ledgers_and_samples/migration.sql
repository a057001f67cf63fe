-- Two ledgers that only grow, and what is derived from them.

-- Every version of every entry of the register, in the order in which they were entered.
CREATE TABLE "register_entry" (
    "seq" BIGSERIAL NOT NULL,
    "kind" TEXT NOT NULL,
    "code" TEXT NOT NULL,
    -- NULL: taken out of the register
    "content" JSONB,
    "holds_from_at" TIMESTAMPTZ(3) NOT NULL,
    "entered_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    CONSTRAINT "register_entry_pkey" PRIMARY KEY ("seq")
);
CREATE INDEX "register_entry_kind_code_seq_idx" ON "register_entry"("kind", "code", "seq");
-- for the newest entry that is no kit, of which there are few
CREATE INDEX "register_entry_but_kits" ON "register_entry"("seq") WHERE "kind" <> 'kit';

-- Every accepted event, as it was sent.
CREATE TABLE "event" (
    "seq" BIGSERIAL NOT NULL,
    "source" TEXT NOT NULL,
    "id" TEXT NOT NULL,
    "sample" TEXT,
    "kind" TEXT NOT NULL,
    "at" TEXT NOT NULL,
    "zone" TEXT,
    "place" TEXT,
    "service" TEXT,
    "waybill" TEXT,
    -- the waybill in the form in which waybills are compared
    "waybill_key" TEXT,
    "product" TEXT,
    "lot" TEXT,
    "corrects" TEXT,
    "facts" JSONB,
    "reported_at" TIMESTAMPTZ(3),
    -- our own receipt
    "received_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    -- SHA-256 of the content: the same key with another one conflicts
    "digest" BYTEA NOT NULL,
    CONSTRAINT "event_pkey" PRIMARY KEY ("seq")
);
CREATE UNIQUE INDEX "event_source_id_key" ON "event"("source", "id");
CREATE INDEX "event_of_sample" ON "event"("sample") WHERE "sample" IS NOT NULL;
CREATE INDEX "event_of_consignment" ON "event"("service", "waybill_key") WHERE "sample" IS NULL;
CREATE INDEX "event_dispatching" ON "event"("service", "waybill_key") WHERE "sample" IS NOT NULL AND "kind" = 'dispatched' AND "waybill_key" IS NOT NULL;
CREATE INDEX "event_correcting" ON "event"("corrects") WHERE "corrects" IS NOT NULL;

CREATE FUNCTION "refuse_change"() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'The ledger "%" only grows: report a correction instead of a change.', TG_TABLE_NAME
        USING ERRCODE = 'restrict_violation';
END $$;
CREATE TRIGGER "register_entry_only_grows" BEFORE UPDATE OR DELETE OR TRUNCATE ON "register_entry"
    FOR EACH STATEMENT EXECUTE FUNCTION "refuse_change"();
CREATE TRIGGER "event_only_grows" BEFORE UPDATE OR DELETE OR TRUNCATE ON "event"
    FOR EACH STATEMENT EXECUTE FUNCTION "refuse_change"();

-- One row for each kit: what its events say. Derived; npm run rebuild makes it anew.
CREATE TABLE "sample" (
    "code" TEXT NOT NULL,
    "plant" TEXT NOT NULL,
    "laboratory" TEXT NOT NULL,
    "service" TEXT,
    "purpose" TEXT NOT NULL,
    "replaces" TEXT,
    "issued_at" TIMESTAMPTZ(3) NOT NULL,
    "product" TEXT,
    "lot" TEXT,
    "protocol" TEXT,
    -- the last milestone in the order of life that was reported, and its reading
    "stage" TEXT,
    "stage_at" TIMESTAMPTZ(3),
    -- NULL while it is open
    "settled" TEXT,
    "settled_at" TIMESTAMPTZ(3),
    "ending" TEXT,
    -- when the standing of an open sample worsens by itself
    "tight_at" TIMESTAMPTZ(3),
    "at_risk_at" TIMESTAMPTZ(3),
    "due_at" TIMESTAMPTZ(3),
    "has_lapsed" BOOLEAN NOT NULL,
    -- the first due that counts against it, passed or not: the order of the board
    "pressing_at" TIMESTAMPTZ(3),
    "clocks" JSONB NOT NULL,
    "milestones" JSONB NOT NULL,
    "flags" TEXT[] NOT NULL,
    -- what a search looks through, in small letters
    "search" TEXT NOT NULL,
    -- when an event ahead of its time begins to count
    "derive_again_at" TIMESTAMPTZ(3),
    CONSTRAINT "sample_pkey" PRIMARY KEY ("code")
);
CREATE INDEX "sample_plant_issued_at_idx" ON "sample"("plant", "issued_at");
CREATE INDEX "sample_open_by_press" ON "sample"("pressing_at", "code") INCLUDE ("has_lapsed", "due_at", "at_risk_at", "tight_at", "plant") WHERE "settled" IS NULL;
CREATE INDEX "sample_deriving_again" ON "sample"("derive_again_at") WHERE "derive_again_at" IS NOT NULL;
CREATE INDEX "sample_replacing" ON "sample"("replaces") WHERE "replaces" IS NOT NULL;

-- The events that fit no known sample. Derived.
CREATE TABLE "unplaced" (
    "event_seq" BIGINT NOT NULL,
    CONSTRAINT "unplaced_pkey" PRIMARY KEY ("event_seq"),
    CONSTRAINT "unplaced_event_seq_fkey" FOREIGN KEY ("event_seq") REFERENCES "event"("seq") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- What a database says of itself: whether it is a demo, and by which zone data its rows were derived.
CREATE TABLE "mark" (
    "name" TEXT NOT NULL,
    "value" JSONB NOT NULL,
    CONSTRAINT "mark_pkey" PRIMARY KEY ("name")
);

-- The app works as a role that owns nothing.
GRANT USAGE ON SCHEMA public TO holdfast_app;
GRANT SELECT, INSERT ON "register_entry", "event" TO holdfast_app;
GRANT SELECT, INSERT, UPDATE, DELETE ON "sample", "unplaced", "mark" TO holdfast_app;
GRANT USAGE ON SEQUENCE "register_entry_seq_seq", "event_seq_seq" TO holdfast_app;
