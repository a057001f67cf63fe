-- Wrong secrets of the last minute, by client and by key id, so that all servers count together. The limiter library names the
-- columns. Only holdfast_door reaches it.
CREATE TABLE "guess_count" (
    -- "client ADDRESS" or "key ID"
    "key" VARCHAR(255) NOT NULL,
    "points" INTEGER NOT NULL,
    -- when the minute is over, ms since 1970 UTC
    "expire" BIGINT NOT NULL,
    CONSTRAINT "guess_count_pkey" PRIMARY KEY ("key")
);
GRANT SELECT, INSERT, UPDATE, DELETE ON "guess_count" TO holdfast_door;
-- Anyone may begin a sign-in with a passkey, which adds a row; each begin deletes those that are over.
CREATE INDEX "verification_expires_at_idx" ON "verification"("expires_at");
