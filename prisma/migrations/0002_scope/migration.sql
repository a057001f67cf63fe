-- Who may see what, enforced by the database: plants in one programme compete.
--
-- A transaction says for whom it works by the setting holdfast.scope: 'all', or 'some', the plants and the laboratories
-- that its principal may see, as two arrays, with unit separators between. Without it no row of any table is there.

CREATE FUNCTION "holdfast_sees_all"() RETURNS boolean LANGUAGE sql STABLE AS $$
    SELECT coalesce(current_setting('holdfast.scope', true), '') = 'all'
$$;

CREATE FUNCTION "holdfast_sees_some"() RETURNS boolean LANGUAGE sql STABLE AS $$
    SELECT coalesce(current_setting('holdfast.scope', true), '') <> ''
$$;

-- The plants and the laboratories of the scope. They cost next to nothing, so that a row that is hidden takes no longer
-- to find than one that is not there.
CREATE FUNCTION "holdfast_plants"() RETURNS text[] LANGUAGE sql STABLE AS $$
    SELECT coalesce(nullif(split_part(current_setting('holdfast.scope', true), chr(31), 2), ''), '{}')::text[]
$$;

CREATE FUNCTION "holdfast_laboratories"() RETURNS text[] LANGUAGE sql STABLE AS $$
    SELECT coalesce(nullif(split_part(current_setting('holdfast.scope', true), chr(31), 3), ''), '{}')::text[]
$$;

-- Of what the one who reported an event may speak, as it was then; NULL: of everything.
ALTER TABLE "event"
    ADD COLUMN "reported_by" TEXT,
    ADD COLUMN "reporter_kinds" TEXT[],
    ADD COLUMN "reporter_plants" TEXT[],
    ADD COLUMN "reporter_laboratories" TEXT[];

ALTER TABLE "sample" ENABLE ROW LEVEL SECURITY, FORCE ROW LEVEL SECURITY;
CREATE POLICY "sample_seen" ON "sample" FOR SELECT USING (
    (SELECT holdfast_sees_all())
    OR "plant" = ANY ((SELECT holdfast_plants())::text[])
    OR "laboratory" = ANY ((SELECT holdfast_laboratories())::text[]));
CREATE POLICY "sample_derived" ON "sample" USING ((SELECT holdfast_sees_all())) WITH CHECK ((SELECT holdfast_sees_all()));

-- An event is seen by who sees its sample. One of a consignment may speak of several makers' samples: it is shown on
-- each sample's own page, and here to nobody but who sees all.
ALTER TABLE "event" ENABLE ROW LEVEL SECURITY, FORCE ROW LEVEL SECURITY;
CREATE POLICY "event_seen" ON "event" FOR SELECT USING (
    (SELECT holdfast_sees_all())
    OR ((SELECT holdfast_sees_some()) AND EXISTS (SELECT FROM "sample" WHERE "sample"."code" = "event"."sample")));
CREATE POLICY "event_accepted" ON "event" FOR INSERT WITH CHECK ((SELECT holdfast_sees_all()));

ALTER TABLE "unplaced" ENABLE ROW LEVEL SECURITY, FORCE ROW LEVEL SECURITY;
CREATE POLICY "unplaced_derived" ON "unplaced" USING ((SELECT holdfast_sees_all())) WITH CHECK ((SELECT holdfast_sees_all()));

-- Laboratories, services and protocols are everybody's; a plant, its products and its kits are seen with its samples.
ALTER TABLE "register_entry" ENABLE ROW LEVEL SECURITY, FORCE ROW LEVEL SECURITY;
CREATE POLICY "register_entry_seen" ON "register_entry" FOR SELECT USING (
    (SELECT holdfast_sees_all())
    OR ((SELECT holdfast_sees_some()) AND CASE
        WHEN "kind" IN ('laboratory', 'service', 'protocol') THEN true
        WHEN "kind" = 'kit' THEN EXISTS (SELECT FROM "sample" WHERE "sample"."code" = "register_entry"."code")
        ELSE coalesce("content" ->> 'plant', "code") = ANY ((SELECT holdfast_plants())::text[])
            OR EXISTS (SELECT FROM "sample" WHERE "sample"."plant" = coalesce("register_entry"."content" ->> 'plant', "register_entry"."code"))
        END));
CREATE POLICY "register_entry_entered" ON "register_entry" FOR INSERT WITH CHECK ((SELECT holdfast_sees_all()));

ALTER TABLE "mark" ENABLE ROW LEVEL SECURITY, FORCE ROW LEVEL SECURITY;
CREATE POLICY "mark_seen" ON "mark" FOR SELECT USING ((SELECT holdfast_sees_some()));
CREATE POLICY "mark_set" ON "mark" USING ((SELECT holdfast_sees_all())) WITH CHECK ((SELECT holdfast_sees_all()));
