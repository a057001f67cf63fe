-- The kit that a counted "replaced by" event names: a lapsed sample that is replaced needs nobody any more.
ALTER TABLE "sample" ADD COLUMN "replaced_by" TEXT;
