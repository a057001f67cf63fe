-- Something that was found and holds a sample is told at once unless a person chose otherwise. So a row now says what was chosen;
-- without one, the default of its kind holds.
ALTER TABLE "at_once_choice"
    ADD COLUMN "is_wanted" BOOLEAN NOT NULL DEFAULT true,
    DROP CONSTRAINT "at_once_choice_kind",
    ADD CONSTRAINT "at_once_choice_kind" CHECK ("kind" IN ('at risk', 'lapsed', 'arrived', 'hold'));
