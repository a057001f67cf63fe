-- Occasions that come to one person together go in one mail. Each keeps its row, whose key keeps it single; all but the
-- first are part of the first one's mail, and have its fate.
ALTER TABLE "digest_mail"
    -- the occasion of the same person in whose mail this one is told
    ADD COLUMN "part_of" TEXT,
    ADD CONSTRAINT "digest_mail_person_id_part_of_fkey" FOREIGN KEY ("person_id", "part_of")
        REFERENCES "digest_mail"("person_id", "occasion") ON DELETE NO ACTION ON UPDATE NO ACTION,
    ADD CONSTRAINT "digest_mail_part_of" CHECK ("part_of" IS NULL OR ("part_of" <> "occasion" AND "state" = 'carried'));
CREATE INDEX "digest_mail_parts" ON "digest_mail"("person_id", "part_of") WHERE "part_of" IS NOT NULL;
