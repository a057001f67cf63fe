-- A session without a scope sees no row. That is right for the program's roles, which forget a scope rather than leak, but
-- a tool that dumps the database would write an empty file and report success. So anyone else gets an error that says what
-- to do. The test stays SQL, so that PostgreSQL inlines it: only the refusal is a call. Its schema is named, because pg_dump
-- empties the search path.
CREATE FUNCTION "holdfast_refuse_unscoped"() RETURNS boolean LANGUAGE plpgsql STABLE AS $$
BEGIN
    RAISE EXCEPTION 'This session has no scope and would see no rows. To save the data, run: npm run backup -- FILE (README.md says how pg_dump is used).'
        USING ERRCODE = 'insufficient_privilege';
END $$;

CREATE OR REPLACE FUNCTION "holdfast_sees_all"() RETURNS boolean LANGUAGE sql STABLE AS $$
    SELECT CASE
        WHEN coalesce(current_setting('holdfast.scope', true), '') = 'all' THEN true
        WHEN coalesce(current_setting('holdfast.scope', true), '') <> '' THEN false
        WHEN current_user IN ('holdfast_app', 'holdfast_door') THEN false
        ELSE public.holdfast_refuse_unscoped()
    END
$$;
