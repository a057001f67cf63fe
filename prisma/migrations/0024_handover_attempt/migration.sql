-- The try that began a handover: only that one may undo it. Null for one begun by an earlier version.
ALTER TABLE "digest_handover" ADD COLUMN "attempt" UUID;
