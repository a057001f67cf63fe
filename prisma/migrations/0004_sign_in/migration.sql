-- Signing in: what was asked for, who is signed in where, and passkeys. Only holdfast_door reaches any of it.

-- A link and a code that were mailed. One row for both, so that using one spends the other. There is one too for an
-- address that nobody has, so that the answer is the same.
CREATE TABLE "sign_in_request" (
    -- known to the browser that asked, and to nobody else
    "id" TEXT NOT NULL,
    "person_id" TEXT,
    -- keyed digest of the address asked for
    "address_digest" BYTEA NOT NULL,
    -- network address of who asked
    "source" TEXT NOT NULL,
    -- SHA-256 of what is in the link; keyed digest of the code
    "link_digest" BYTEA NOT NULL,
    "code_digest" BYTEA NOT NULL,
    "tries_left" INTEGER NOT NULL,
    -- local path to go to afterwards
    "wanted" TEXT,
    "asked_at" TIMESTAMPTZ(3) NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "used_at" TIMESTAMPTZ(3),
    CONSTRAINT "sign_in_request_pkey" PRIMARY KEY ("id"),
    CONSTRAINT "sign_in_request_person_id_fkey" FOREIGN KEY ("person_id") REFERENCES "person"("id") ON DELETE CASCADE ON UPDATE CASCADE
);
CREATE UNIQUE INDEX "sign_in_request_link_digest_key" ON "sign_in_request"("link_digest");
CREATE INDEX "sign_in_request_address_digest_asked_at_idx" ON "sign_in_request"("address_digest", "asked_at");
CREATE INDEX "sign_in_request_source_asked_at_idx" ON "sign_in_request"("source", "asked_at");

CREATE TABLE "session" (
    "id" TEXT NOT NULL,
    "token" TEXT NOT NULL,
    "person_id" TEXT NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "ip_address" TEXT,
    "user_agent" TEXT,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    -- when it was last seen, to the minute
    "updated_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    CONSTRAINT "session_pkey" PRIMARY KEY ("id"),
    CONSTRAINT "session_person_id_fkey" FOREIGN KEY ("person_id") REFERENCES "person"("id") ON DELETE CASCADE ON UPDATE CASCADE
);
CREATE UNIQUE INDEX "session_token_key" ON "session"("token");
CREATE INDEX "session_person_id_idx" ON "session"("person_id");

CREATE TABLE "passkey" (
    "id" TEXT NOT NULL,
    "name" TEXT,
    "public_key" TEXT NOT NULL,
    "person_id" TEXT NOT NULL,
    "credential_id" TEXT NOT NULL,
    "counter" INTEGER NOT NULL,
    "device_type" TEXT NOT NULL,
    "backed_up" BOOLEAN NOT NULL,
    "transports" TEXT,
    "aaguid" TEXT,
    "created_at" TIMESTAMPTZ(3) DEFAULT CURRENT_TIMESTAMP,
    CONSTRAINT "passkey_pkey" PRIMARY KEY ("id"),
    CONSTRAINT "passkey_person_id_fkey" FOREIGN KEY ("person_id") REFERENCES "person"("id") ON DELETE CASCADE ON UPDATE CASCADE
);
CREATE UNIQUE INDEX "passkey_credential_id_key" ON "passkey"("credential_id");
CREATE INDEX "passkey_person_id_idx" ON "passkey"("person_id");

-- Challenges to passkeys that were not answered yet.
CREATE TABLE "verification" (
    "id" TEXT NOT NULL,
    "identifier" TEXT NOT NULL,
    "value" TEXT NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "updated_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    CONSTRAINT "verification_pkey" PRIMARY KEY ("id")
);
CREATE INDEX "verification_identifier_idx" ON "verification"("identifier");

-- The sign-in library insists on having it; nobody signs in by a password or by another site here, so it stays empty.
CREATE TABLE "account" (
    "id" TEXT NOT NULL,
    "account_id" TEXT NOT NULL,
    "provider_id" TEXT NOT NULL,
    "person_id" TEXT NOT NULL,
    "access_token" TEXT,
    "refresh_token" TEXT,
    "id_token" TEXT,
    "access_token_expires_at" TIMESTAMPTZ(3),
    "refresh_token_expires_at" TIMESTAMPTZ(3),
    "scope" TEXT,
    "password" TEXT,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "updated_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    CONSTRAINT "account_pkey" PRIMARY KEY ("id"),
    CONSTRAINT "account_person_id_fkey" FOREIGN KEY ("person_id") REFERENCES "person"("id") ON DELETE CASCADE ON UPDATE CASCADE
);

GRANT SELECT ON "account" TO holdfast_door;
GRANT SELECT, INSERT, UPDATE, DELETE ON "sign_in_request", "session", "passkey", "verification" TO holdfast_door;
