-- A key for which no kinds were named could report every kind of event; since keys have sides, it reports those of its sides. This is
-- when that narrowed it. A key that no longer works, or that has a list of no places, could report nothing anyway.
ALTER TABLE "api_key" ADD COLUMN "narrowed_at" TIMESTAMPTZ(3);
UPDATE "api_key" SET "narrowed_at" = now()
  WHERE "kinds" IS NULL AND "revoked_at" IS NULL AND ("expires_at" IS NULL OR "expires_at" > now())
    AND ("plants" IS NULL AND "laboratories" IS NULL OR cardinality("plants" || "laboratories") > 0);
INSERT INTO "audit_entry" ("who", "who_name", "what", "subject", "before", "after")
  SELECT 'command', 'an upgrade of Holdfast', 'narrowed a key', "id", '{"kinds": "every kind"}',
    jsonb_build_object('kinds', 'those of its sides, without decisions', 'sides', "sides")
  FROM "api_key" WHERE "narrowed_at" IS NOT NULL ORDER BY "created_at", "id";
