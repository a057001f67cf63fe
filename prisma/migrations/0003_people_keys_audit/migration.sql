-- People and what they may be, keys for machines, and the record of who did what.

CREATE TABLE "person" (
    "id" TEXT NOT NULL,
    -- in small letters
    "email" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "email_verified" BOOLEAN NOT NULL DEFAULT false,
    "image" TEXT,
    -- IANA zone in which the person reads times
    "zone" TEXT NOT NULL DEFAULT 'UTC',
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "updated_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    -- set when the person may no longer sign in
    "left_at" TIMESTAMPTZ(3),
    CONSTRAINT "person_pkey" PRIMARY KEY ("id")
);
CREATE UNIQUE INDEX "person_email_key" ON "person"("email");

-- One row for each thing a person is: administrator, reader, contact of a plant, at the desk of a laboratory.
CREATE TABLE "person_role" (
    "id" BIGSERIAL NOT NULL,
    "person_id" TEXT NOT NULL,
    "role" TEXT NOT NULL,
    -- code of the plant or the laboratory; empty for administrator and reader
    "place" TEXT NOT NULL DEFAULT '',
    CONSTRAINT "person_role_pkey" PRIMARY KEY ("id"),
    CONSTRAINT "person_role_person_id_fkey" FOREIGN KEY ("person_id") REFERENCES "person"("id") ON DELETE CASCADE ON UPDATE CASCADE,
    CONSTRAINT "person_role_known" CHECK (
        ("role" IN ('administrator', 'reader') AND "place" = '')
        OR ("role" IN ('plant contact', 'laboratory desk') AND "place" <> ''))
);
CREATE UNIQUE INDEX "person_role_person_id_role_place_key" ON "person_role"("person_id", "role", "place");

CREATE TABLE "api_key" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    -- SHA-256 of the secret, which is shown once
    "hash" BYTEA NOT NULL,
    "sources" TEXT[] NOT NULL,
    -- NULL: of every kind, plant, laboratory
    "kinds" TEXT[],
    "plants" TEXT[],
    "laboratories" TEXT[],
    "may_import_history" BOOLEAN NOT NULL DEFAULT false,
    "may_set_register" BOOLEAN NOT NULL DEFAULT false,
    -- bodies have to be signed
    "must_sign" BOOLEAN NOT NULL DEFAULT false,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "created_by" TEXT NOT NULL,
    "expires_at" TIMESTAMPTZ(3),
    "last_used_at" TIMESTAMPTZ(3),
    "revoked_at" TIMESTAMPTZ(3),
    CONSTRAINT "api_key_pkey" PRIMARY KEY ("id")
);
CREATE UNIQUE INDEX "api_key_hash_key" ON "api_key"("hash");

-- Signatures that were used, until they are too old to be used again.
CREATE TABLE "used_signature" (
    "digest" BYTEA NOT NULL,
    "used_at" TIMESTAMPTZ(3) NOT NULL,
    CONSTRAINT "used_signature_pkey" PRIMARY KEY ("digest")
);

CREATE TABLE "audit_entry" (
    "seq" BIGSERIAL NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    -- "person ID", "key ID", "command", or "nobody"
    "who" TEXT NOT NULL,
    "who_name" TEXT NOT NULL,
    "address" TEXT,
    -- a verb and its object in a few words: "issued kits", "changed a protocol"
    "what" TEXT NOT NULL,
    -- what it was done to: a kit code, an entry's code, a person's id
    "subject" TEXT,
    "before" JSONB,
    "after" JSONB,
    "outcome" TEXT NOT NULL DEFAULT 'done',
    -- refused attempts of one source and minute are summed
    "count" INTEGER NOT NULL DEFAULT 1,
    CONSTRAINT "audit_entry_pkey" PRIMARY KEY ("seq"),
    CONSTRAINT "audit_entry_outcome" CHECK ("outcome" IN ('done', 'refused'))
);
CREATE INDEX "audit_entry_at_idx" ON "audit_entry"("at");
CREATE INDEX "audit_entry_subject_idx" ON "audit_entry"("subject");
CREATE TRIGGER "audit_entry_only_grows" BEFORE UPDATE OR DELETE OR TRUNCATE ON "audit_entry"
    FOR EACH STATEMENT EXECUTE FUNCTION "refuse_change"();

-- Everybody's changes are recorded; who sees everything may read the record.
ALTER TABLE "audit_entry" ENABLE ROW LEVEL SECURITY, FORCE ROW LEVEL SECURITY;
CREATE POLICY "audit_entry_seen" ON "audit_entry" FOR SELECT USING ((SELECT holdfast_sees_all()));
CREATE POLICY "audit_entry_recorded" ON "audit_entry" FOR INSERT WITH CHECK (true);
GRANT SELECT, INSERT ON "audit_entry" TO holdfast_app;
GRANT USAGE ON SEQUENCE "audit_entry_seq_seq" TO holdfast_app;

-- People and keys are looked up before it is known who asks, so they have a role of their own, and the role that
-- reads samples cannot read them at all.
GRANT USAGE ON SCHEMA public TO holdfast_door;
GRANT SELECT, INSERT, UPDATE, DELETE ON "person", "person_role", "api_key", "used_signature" TO holdfast_door;
GRANT INSERT ON "audit_entry" TO holdfast_door;
GRANT USAGE ON SEQUENCE "person_role_id_seq", "audit_entry_seq_seq" TO holdfast_door;
