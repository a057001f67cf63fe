-- The database as all migrations leave it, read from its catalogs. It is for readers and reviews: no program runs it.
-- tests/store/schemaDump.test.ts fails when the database differs from it. To write it anew, after a new migration:
--   npm test -- tests/store/schemaDump.test.ts -u
-- Not here: the schema "queue" (pg-boss makes it, lib/store/migrate/queueSchema.ts grants its use), privileges that come with
-- owning an object, and privileges on the database as a whole. An owner is named only if the database has another one.

-- Extensions
CREATE EXTENSION plpgsql;

-- Roles
CREATE ROLE holdfast_app NOLOGIN;
CREATE ROLE holdfast_door NOLOGIN;

-- Schemas
CREATE SCHEMA public;
GRANT USAGE ON SCHEMA public TO PUBLIC;
GRANT USAGE ON SCHEMA public TO holdfast_app;
GRANT USAGE ON SCHEMA public TO holdfast_door;

-- _prisma_migrations
CREATE TABLE _prisma_migrations (
    id character varying(36) NOT NULL,
    checksum character varying(64) NOT NULL,
    finished_at timestamp with time zone,
    migration_name character varying(255) NOT NULL,
    logs text,
    rolled_back_at timestamp with time zone,
    started_at timestamp with time zone NOT NULL DEFAULT now(),
    applied_steps_count integer NOT NULL DEFAULT 0,
    CONSTRAINT _prisma_migrations_pkey PRIMARY KEY (id)
);
GRANT SELECT ON _prisma_migrations TO holdfast_door;

-- account
CREATE TABLE account (
    id text NOT NULL,
    account_id text NOT NULL,
    provider_id text NOT NULL,
    person_id text NOT NULL,
    access_token text,
    refresh_token text,
    id_token text,
    access_token_expires_at timestamp(3) with time zone,
    refresh_token_expires_at timestamp(3) with time zone,
    scope text,
    password text,
    created_at timestamp(3) with time zone NOT NULL DEFAULT CURRENT_TIMESTAMP,
    updated_at timestamp(3) with time zone NOT NULL DEFAULT CURRENT_TIMESTAMP,
    CONSTRAINT account_pkey PRIMARY KEY (id),
    CONSTRAINT account_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON UPDATE CASCADE ON DELETE CASCADE
);
GRANT SELECT ON account TO holdfast_door;

-- api_key
CREATE TABLE api_key (
    id text NOT NULL,
    name text NOT NULL,
    hash bytea NOT NULL,
    sources text[] NOT NULL,
    kinds text[],
    plants text[],
    laboratories text[],
    may_import_history boolean NOT NULL DEFAULT false,
    may_set_register boolean NOT NULL DEFAULT false,
    must_sign boolean NOT NULL DEFAULT false,
    created_at timestamp(3) with time zone NOT NULL DEFAULT CURRENT_TIMESTAMP,
    created_by text NOT NULL,
    expires_at timestamp(3) with time zone,
    last_used_at timestamp(3) with time zone,
    revoked_at timestamp(3) with time zone,
    sides text[] NOT NULL,
    narrowed_at timestamp(3) with time zone,
    CONSTRAINT api_key_pkey PRIMARY KEY (id)
);
CREATE UNIQUE INDEX api_key_hash_key ON api_key USING btree (hash);
GRANT DELETE ON api_key TO holdfast_door;
GRANT INSERT ON api_key TO holdfast_door;
GRANT SELECT ON api_key TO holdfast_door;
GRANT UPDATE ON api_key TO holdfast_door;

-- app_metadata
CREATE TABLE app_metadata (
    name text NOT NULL,
    value jsonb NOT NULL,
    CONSTRAINT app_metadata_pkey PRIMARY KEY (name)
);
ALTER TABLE app_metadata ENABLE ROW LEVEL SECURITY;
ALTER TABLE app_metadata FORCE ROW LEVEL SECURITY;
CREATE POLICY app_metadata_seen ON app_metadata FOR SELECT TO PUBLIC
    USING (( SELECT holdfast_sees_some() AS holdfast_sees_some));
CREATE POLICY app_metadata_set ON app_metadata FOR ALL TO PUBLIC
    USING (( SELECT holdfast_sees_all() AS holdfast_sees_all))
    WITH CHECK (( SELECT holdfast_sees_all() AS holdfast_sees_all));
GRANT DELETE ON app_metadata TO holdfast_app;
GRANT INSERT ON app_metadata TO holdfast_app;
GRANT SELECT ON app_metadata TO holdfast_app;
GRANT UPDATE ON app_metadata TO holdfast_app;

-- at_once_choice
CREATE TABLE at_once_choice (
    person_id text NOT NULL,
    kind text NOT NULL,
    since_at timestamp(3) with time zone NOT NULL,
    is_wanted boolean NOT NULL DEFAULT true,
    CONSTRAINT at_once_choice_pkey PRIMARY KEY (person_id, kind),
    CONSTRAINT at_once_choice_kind CHECK (kind = ANY (ARRAY['at risk'::text, 'lapsed'::text, 'arrived'::text, 'hold'::text])),
    CONSTRAINT at_once_choice_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON UPDATE CASCADE ON DELETE CASCADE
);
GRANT DELETE ON at_once_choice TO holdfast_door;
GRANT INSERT ON at_once_choice TO holdfast_door;
GRANT SELECT ON at_once_choice TO holdfast_door;
GRANT UPDATE ON at_once_choice TO holdfast_door;

-- at_once_look
CREATE TABLE at_once_look (
    id integer NOT NULL DEFAULT 1,
    looked_at timestamp(3) with time zone NOT NULL,
    event_seq bigint NOT NULL,
    CONSTRAINT at_once_look_pkey PRIMARY KEY (id),
    CONSTRAINT at_once_look_one CHECK (id = 1)
);
GRANT INSERT ON at_once_look TO holdfast_door;
GRANT SELECT ON at_once_look TO holdfast_door;
GRANT UPDATE ON at_once_look TO holdfast_door;

-- audit_entry
CREATE TABLE audit_entry (
    seq bigint NOT NULL DEFAULT nextval('audit_entry_seq_seq'::regclass),
    at timestamp(3) with time zone NOT NULL DEFAULT CURRENT_TIMESTAMP,
    who text NOT NULL,
    who_name text NOT NULL,
    address text,
    what text NOT NULL,
    subject text,
    before jsonb,
    after jsonb,
    outcome text NOT NULL DEFAULT 'done'::text,
    count integer NOT NULL DEFAULT 1,
    CONSTRAINT audit_entry_pkey PRIMARY KEY (seq),
    CONSTRAINT audit_entry_outcome CHECK (outcome = ANY (ARRAY['done'::text, 'refused'::text]))
);
CREATE INDEX audit_entry_at_idx ON audit_entry USING btree (at);
CREATE INDEX audit_entry_subject_idx ON audit_entry USING btree (subject);
CREATE TRIGGER audit_entry_only_grows BEFORE DELETE OR UPDATE OR TRUNCATE ON audit_entry FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
ALTER TABLE audit_entry ENABLE ROW LEVEL SECURITY;
ALTER TABLE audit_entry FORCE ROW LEVEL SECURITY;
CREATE POLICY audit_entry_recorded ON audit_entry FOR INSERT TO PUBLIC
    WITH CHECK (true);
CREATE POLICY audit_entry_seen ON audit_entry FOR SELECT TO PUBLIC
    USING (( SELECT holdfast_sees_all() AS holdfast_sees_all));
GRANT INSERT ON audit_entry TO holdfast_app;
GRANT SELECT ON audit_entry TO holdfast_app;
GRANT INSERT ON audit_entry TO holdfast_door;

-- calendar_entry
CREATE TABLE calendar_entry (
    plant text NOT NULL,
    uid text NOT NULL,
    digest bytea NOT NULL,
    sequence integer NOT NULL DEFAULT 0,
    modified_at timestamp(3) with time zone NOT NULL,
    CONSTRAINT calendar_entry_pkey PRIMARY KEY (plant, uid)
);
GRANT INSERT ON calendar_entry TO holdfast_door;
GRANT SELECT ON calendar_entry TO holdfast_door;
GRANT UPDATE ON calendar_entry TO holdfast_door;

-- calendar_feed
CREATE TABLE calendar_feed (
    id text NOT NULL,
    plant text NOT NULL,
    hash bytea NOT NULL,
    person_id text NOT NULL,
    made_at timestamp(3) with time zone NOT NULL,
    last_read_at timestamp(3) with time zone,
    revoked_at timestamp(3) with time zone,
    CONSTRAINT calendar_feed_pkey PRIMARY KEY (id),
    CONSTRAINT calendar_feed_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON UPDATE CASCADE ON DELETE CASCADE
);
CREATE UNIQUE INDEX calendar_feed_hash_key ON calendar_feed USING btree (hash);
CREATE INDEX calendar_feed_plant_idx ON calendar_feed USING btree (plant);
GRANT INSERT ON calendar_feed TO holdfast_door;
GRANT SELECT ON calendar_feed TO holdfast_door;
GRANT UPDATE ON calendar_feed TO holdfast_door;

-- digest_alarm
CREATE TABLE digest_alarm (
    code text NOT NULL,
    is_armed boolean NOT NULL,
    below_since timestamp(3) with time zone,
    turns integer NOT NULL DEFAULT 0,
    CONSTRAINT digest_alarm_pkey PRIMARY KEY (code)
);
GRANT DELETE ON digest_alarm TO holdfast_door;
GRANT INSERT ON digest_alarm TO holdfast_door;
GRANT SELECT ON digest_alarm TO holdfast_door;
GRANT UPDATE ON digest_alarm TO holdfast_door;

-- digest_handover
CREATE TABLE digest_handover (
    person_id text NOT NULL,
    occasion text NOT NULL,
    begun_at timestamp(3) with time zone NOT NULL,
    attempt uuid,
    CONSTRAINT digest_handover_pkey PRIMARY KEY (person_id, occasion)
);
GRANT DELETE ON digest_handover TO holdfast_door;
GRANT INSERT ON digest_handover TO holdfast_door;
GRANT SELECT ON digest_handover TO holdfast_door;
GRANT UPDATE ON digest_handover TO holdfast_door;

-- digest_mail
CREATE TABLE digest_mail (
    person_id text NOT NULL,
    occasion text NOT NULL,
    due_at timestamp(3) with time zone NOT NULL,
    state text NOT NULL DEFAULT 'waiting'::text,
    tries integer NOT NULL DEFAULT 0,
    carried_by text,
    address text,
    message_id text,
    subject text,
    body_text text,
    body_html text,
    named text[] NOT NULL DEFAULT '{}'::text[],
    said text,
    ended_at timestamp(3) with time zone,
    job_id uuid,
    part_of text,
    emptied_at timestamp(3) with time zone,
    CONSTRAINT digest_mail_pkey PRIMARY KEY (person_id, occasion),
    CONSTRAINT digest_mail_emptied CHECK (emptied_at IS NULL OR ended_at IS NOT NULL AND state <> 'waiting'::text AND address IS NULL AND message_id IS NULL AND subject IS NULL AND body_text IS NULL AND body_html IS NULL AND named = '{}'::text[] AND said IS NULL),
    CONSTRAINT digest_mail_part_of CHECK (part_of IS NULL OR part_of <> occasion AND state = 'carried'::text),
    CONSTRAINT digest_mail_state CHECK (state = ANY (ARRAY['waiting'::text, 'sent'::text, 'written'::text, 'carried'::text, 'nothing to say'::text, 'refused'::text, 'given up'::text, 'uncertain'::text])),
    CONSTRAINT digest_mail_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON UPDATE CASCADE ON DELETE CASCADE,
    CONSTRAINT digest_mail_person_id_part_of_fkey FOREIGN KEY (person_id, part_of) REFERENCES digest_mail(person_id, occasion)
);
CREATE INDEX digest_mail_parts ON digest_mail USING btree (person_id, part_of) WHERE part_of IS NOT NULL;
CREATE INDEX digest_mail_waiting ON digest_mail USING btree (job_id) WHERE state = 'waiting'::text;
CREATE INDEX digest_mail_whole ON digest_mail USING btree (ended_at) WHERE emptied_at IS NULL;
GRANT INSERT ON digest_mail TO holdfast_door;
GRANT SELECT ON digest_mail TO holdfast_door;
GRANT UPDATE (state) ON digest_mail TO holdfast_door;
GRANT UPDATE (tries) ON digest_mail TO holdfast_door;
GRANT UPDATE (address) ON digest_mail TO holdfast_door;
GRANT UPDATE (message_id) ON digest_mail TO holdfast_door;
GRANT UPDATE (subject) ON digest_mail TO holdfast_door;
GRANT UPDATE (body_text) ON digest_mail TO holdfast_door;
GRANT UPDATE (body_html) ON digest_mail TO holdfast_door;
GRANT UPDATE (named) ON digest_mail TO holdfast_door;
GRANT UPDATE (said) ON digest_mail TO holdfast_door;
GRANT UPDATE (ended_at) ON digest_mail TO holdfast_door;
GRANT UPDATE (job_id) ON digest_mail TO holdfast_door;
GRANT UPDATE (part_of) ON digest_mail TO holdfast_door;
GRANT UPDATE (emptied_at) ON digest_mail TO holdfast_door;

-- digest_preference
CREATE TABLE digest_preference (
    person_id text NOT NULL,
    language text NOT NULL DEFAULT 'en-GB'::text,
    is_wanted boolean NOT NULL DEFAULT true,
    wants_quiet_line boolean NOT NULL DEFAULT true,
    mailbox text,
    stand_in_id text,
    stand_in_from date,
    stand_in_until date,
    token_serial integer NOT NULL DEFAULT 0,
    at_once_is_stopped boolean NOT NULL DEFAULT false,
    at_once_serial integer NOT NULL DEFAULT 0,
    CONSTRAINT digest_preference_pkey PRIMARY KEY (person_id),
    CONSTRAINT digest_preference_stand_in CHECK (stand_in_id <> person_id AND stand_in_from <= stand_in_until),
    CONSTRAINT digest_preference_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON UPDATE CASCADE ON DELETE CASCADE,
    CONSTRAINT digest_preference_stand_in_id_fkey FOREIGN KEY (stand_in_id) REFERENCES person(id) ON UPDATE CASCADE ON DELETE SET NULL
);
GRANT DELETE ON digest_preference TO holdfast_door;
GRANT INSERT ON digest_preference TO holdfast_door;
GRANT SELECT ON digest_preference TO holdfast_door;
GRANT UPDATE ON digest_preference TO holdfast_door;

-- digest_time
CREATE TABLE digest_time (
    id integer NOT NULL DEFAULT 1,
    weekday integer NOT NULL,
    minute_of_day integer NOT NULL,
    CONSTRAINT digest_time_pkey PRIMARY KEY (id),
    CONSTRAINT digest_time_one CHECK (id = 1 AND weekday >= 1 AND weekday <= 7 AND minute_of_day >= 0 AND minute_of_day <= 1439)
);
GRANT INSERT ON digest_time TO holdfast_door;
GRANT SELECT ON digest_time TO holdfast_door;
GRANT UPDATE ON digest_time TO holdfast_door;

-- event
CREATE TABLE event (
    seq bigint NOT NULL DEFAULT nextval('event_seq_seq'::regclass),
    source text NOT NULL,
    id text NOT NULL,
    sample text,
    kind text NOT NULL,
    at text NOT NULL,
    zone text,
    place text,
    service text,
    waybill text,
    waybill_key text,
    product text,
    lot text,
    corrects text,
    facts jsonb,
    reported_at timestamp(3) with time zone,
    received_at timestamp(3) with time zone NOT NULL DEFAULT CURRENT_TIMESTAMP,
    digest bytea NOT NULL,
    reported_by text,
    reporter_kinds text[],
    reporter_plants text[],
    reporter_laboratories text[],
    reporter_sides text[],
    CONSTRAINT event_pkey PRIMARY KEY (seq)
);
CREATE INDEX event_correcting ON event USING btree (corrects) WHERE corrects IS NOT NULL;
CREATE INDEX event_dispatching ON event USING btree (service, waybill_key) WHERE sample IS NOT NULL AND kind = 'dispatched'::text AND waybill_key IS NOT NULL;
CREATE INDEX event_of_consignment ON event USING btree (service, waybill_key, reported_by) WHERE sample IS NULL;
CREATE INDEX event_of_sample ON event USING btree (sample, reported_by) WHERE sample IS NOT NULL;
CREATE UNIQUE INDEX event_source_id_key ON event USING btree (source, id);
CREATE TRIGGER event_only_grows BEFORE DELETE OR UPDATE OR TRUNCATE ON event FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
ALTER TABLE event ENABLE ROW LEVEL SECURITY;
ALTER TABLE event FORCE ROW LEVEL SECURITY;
CREATE POLICY event_accepted ON event FOR INSERT TO PUBLIC
    WITH CHECK (( SELECT holdfast_sees_all() AS holdfast_sees_all));
CREATE POLICY event_seen ON event FOR SELECT TO PUBLIC
    USING (( SELECT holdfast_sees_all() AS holdfast_sees_all) OR ( SELECT holdfast_sees_some() AS holdfast_sees_some) AND (EXISTS ( SELECT
   FROM sample
  WHERE sample.code = event.sample)));
GRANT INSERT ON event TO holdfast_app;
GRANT SELECT ON event TO holdfast_app;

-- forecast
CREATE TABLE forecast (
    code text NOT NULL,
    plant text NOT NULL,
    laboratory text NOT NULL,
    limit_name text,
    tight_at timestamp(3) with time zone,
    at_risk_at timestamp(3) with time zone,
    risk double precision,
    low double precision,
    high double precision,
    needs_opening boolean NOT NULL DEFAULT false,
    detail jsonb,
    scored_at timestamp(3) with time zone,
    CONSTRAINT forecast_pkey PRIMARY KEY (code),
    CONSTRAINT forecast_code_fkey FOREIGN KEY (code) REFERENCES sample(code) ON UPDATE CASCADE ON DELETE CASCADE
);
CREATE INDEX forecast_scored_at_idx ON forecast USING btree (scored_at);
CREATE INDEX forecast_turned ON forecast USING btree (tight_at) WHERE limit_name IS NOT NULL;
ALTER TABLE forecast ENABLE ROW LEVEL SECURITY;
ALTER TABLE forecast FORCE ROW LEVEL SECURITY;
CREATE POLICY forecast_scored ON forecast FOR ALL TO PUBLIC
    USING (( SELECT holdfast_sees_all() AS holdfast_sees_all))
    WITH CHECK (( SELECT holdfast_sees_all() AS holdfast_sees_all));
CREATE POLICY forecast_seen ON forecast FOR SELECT TO PUBLIC
    USING (( SELECT holdfast_sees_all() AS holdfast_sees_all) OR (plant = ANY ((( SELECT holdfast_plants() AS holdfast_plants))::text[])) OR (laboratory = ANY ((( SELECT holdfast_laboratories() AS holdfast_laboratories))::text[])));
GRANT DELETE ON forecast TO holdfast_app;
GRANT INSERT ON forecast TO holdfast_app;
GRANT SELECT ON forecast TO holdfast_app;
GRANT UPDATE ON forecast TO holdfast_app;

-- guess_count
CREATE TABLE guess_count (
    key character varying(255) NOT NULL,
    points integer NOT NULL,
    expire bigint NOT NULL,
    CONSTRAINT guess_count_pkey PRIMARY KEY (key)
);
GRANT DELETE ON guess_count TO holdfast_door;
GRANT INSERT ON guess_count TO holdfast_door;
GRANT SELECT ON guess_count TO holdfast_door;
GRANT UPDATE ON guess_count TO holdfast_door;

-- office
CREATE TABLE office (
    id integer NOT NULL DEFAULT 1,
    zone text NOT NULL,
    weekdays integer[] NOT NULL,
    closed date[] NOT NULL DEFAULT '{}'::date[],
    CONSTRAINT office_pkey PRIMARY KEY (id),
    CONSTRAINT office_one CHECK (id = 1 AND cardinality(weekdays) > 0 AND weekdays <@ '{1,2,3,4,5,6,7}'::integer[])
);
ALTER TABLE office ENABLE ROW LEVEL SECURITY;
ALTER TABLE office FORCE ROW LEVEL SECURITY;
CREATE POLICY office_entered ON office FOR ALL TO PUBLIC
    USING (( SELECT holdfast_sees_all() AS holdfast_sees_all))
    WITH CHECK (( SELECT holdfast_sees_all() AS holdfast_sees_all));
CREATE POLICY office_seen ON office FOR SELECT TO PUBLIC
    USING (true);
GRANT INSERT ON office TO holdfast_app;
GRANT SELECT ON office TO holdfast_app;
GRANT UPDATE ON office TO holdfast_app;

-- passkey
CREATE TABLE passkey (
    id text NOT NULL,
    name text,
    public_key text NOT NULL,
    person_id text NOT NULL,
    credential_id text NOT NULL,
    counter integer NOT NULL,
    device_type text NOT NULL,
    backed_up boolean NOT NULL,
    transports text,
    aaguid text,
    created_at timestamp(3) with time zone DEFAULT CURRENT_TIMESTAMP,
    CONSTRAINT passkey_pkey PRIMARY KEY (id),
    CONSTRAINT passkey_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON UPDATE CASCADE ON DELETE CASCADE
);
CREATE UNIQUE INDEX passkey_credential_id_key ON passkey USING btree (credential_id);
CREATE INDEX passkey_person_id_idx ON passkey USING btree (person_id);
GRANT DELETE ON passkey TO holdfast_door;
GRANT INSERT ON passkey TO holdfast_door;
GRANT SELECT ON passkey TO holdfast_door;
GRANT UPDATE ON passkey TO holdfast_door;

-- person
CREATE TABLE person (
    id text NOT NULL,
    email text NOT NULL,
    name text NOT NULL,
    email_verified boolean NOT NULL DEFAULT false,
    image text,
    zone text NOT NULL DEFAULT 'UTC'::text,
    created_at timestamp(3) with time zone NOT NULL DEFAULT CURRENT_TIMESTAMP,
    updated_at timestamp(3) with time zone NOT NULL DEFAULT CURRENT_TIMESTAMP,
    left_at timestamp(3) with time zone,
    CONSTRAINT person_pkey PRIMARY KEY (id)
);
CREATE UNIQUE INDEX person_email_key ON person USING btree (email);
GRANT DELETE ON person TO holdfast_door;
GRANT INSERT ON person TO holdfast_door;
GRANT SELECT ON person TO holdfast_door;
GRANT UPDATE ON person TO holdfast_door;

-- person_role
CREATE TABLE person_role (
    id bigint NOT NULL DEFAULT nextval('person_role_id_seq'::regclass),
    person_id text NOT NULL,
    role text NOT NULL,
    place text NOT NULL DEFAULT ''::text,
    CONSTRAINT person_role_pkey PRIMARY KEY (id),
    CONSTRAINT person_role_known CHECK ((role = ANY (ARRAY['administrator'::text, 'reader'::text])) AND place = ''::text OR (role = ANY (ARRAY['plant contact'::text, 'laboratory desk'::text])) AND place <> ''::text),
    CONSTRAINT person_role_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON UPDATE CASCADE ON DELETE CASCADE
);
CREATE UNIQUE INDEX person_role_person_id_role_place_key ON person_role USING btree (person_id, role, place);
GRANT DELETE ON person_role TO holdfast_door;
GRANT INSERT ON person_role TO holdfast_door;
GRANT SELECT ON person_role TO holdfast_door;
GRANT UPDATE ON person_role TO holdfast_door;

-- register_entry
CREATE TABLE register_entry (
    seq bigint NOT NULL DEFAULT nextval('register_entry_seq_seq'::regclass),
    kind text NOT NULL,
    code text NOT NULL,
    content jsonb,
    holds_from_at timestamp(3) with time zone NOT NULL,
    entered_at timestamp(3) with time zone NOT NULL DEFAULT CURRENT_TIMESTAMP,
    CONSTRAINT register_entry_pkey PRIMARY KEY (seq)
);
CREATE INDEX register_entry_but_kits ON register_entry USING btree (seq) WHERE kind <> 'kit'::text;
CREATE INDEX register_entry_kind_code_seq_idx ON register_entry USING btree (kind, code, seq);
CREATE TRIGGER register_entry_only_grows BEFORE DELETE OR UPDATE OR TRUNCATE ON register_entry FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
ALTER TABLE register_entry ENABLE ROW LEVEL SECURITY;
ALTER TABLE register_entry FORCE ROW LEVEL SECURITY;
CREATE POLICY register_entry_entered ON register_entry FOR INSERT TO PUBLIC
    WITH CHECK (( SELECT holdfast_sees_all() AS holdfast_sees_all));
CREATE POLICY register_entry_seen ON register_entry FOR SELECT TO PUBLIC
    USING (( SELECT holdfast_sees_all() AS holdfast_sees_all) OR ( SELECT holdfast_sees_some() AS holdfast_sees_some) AND
CASE
    WHEN kind = ANY (ARRAY['laboratory'::text, 'service'::text, 'protocol'::text]) THEN true
    WHEN kind = 'kit'::text THEN (EXISTS ( SELECT
       FROM sample
      WHERE sample.code = register_entry.code))
    ELSE (COALESCE(content ->> 'plant'::text, code) = ANY ((( SELECT holdfast_plants() AS holdfast_plants))::text[])) OR (EXISTS ( SELECT
       FROM sample
      WHERE sample.plant = COALESCE(register_entry.content ->> 'plant'::text, register_entry.code)))
END);
GRANT INSERT ON register_entry TO holdfast_app;
GRANT SELECT ON register_entry TO holdfast_app;

-- sample
CREATE TABLE sample (
    code text NOT NULL,
    plant text NOT NULL,
    laboratory text NOT NULL,
    service text,
    purpose text NOT NULL,
    replaces text,
    issued_at timestamp(3) with time zone NOT NULL,
    product text,
    lot text,
    protocol text,
    stage text,
    stage_at timestamp(3) with time zone,
    settled text,
    settled_at timestamp(3) with time zone,
    ending text,
    tight_at timestamp(3) with time zone,
    at_risk_at timestamp(3) with time zone,
    due_at timestamp(3) with time zone,
    has_lapsed boolean NOT NULL,
    pressing_at timestamp(3) with time zone,
    clocks jsonb NOT NULL,
    milestones jsonb NOT NULL,
    flags text[] NOT NULL,
    search text NOT NULL,
    derive_again_at timestamp(3) with time zone,
    replaced_by text,
    journey jsonb,
    made text,
    failed_at timestamp(3) with time zone,
    is_unruled boolean NOT NULL DEFAULT false,
    holds_from_at timestamp(3) with time zone,
    CONSTRAINT sample_pkey PRIMARY KEY (code)
);
CREATE INDEX sample_deriving_again ON sample USING btree (derive_again_at) WHERE derive_again_at IS NOT NULL;
CREATE INDEX sample_failed ON sample USING btree (plant) INCLUDE (code, laboratory, made, replaced_by, failed_at) WHERE failed_at IS NOT NULL AND (purpose = ANY (ARRAY['first'::text, 're-collection'::text]));
CREATE INDEX sample_holds_from_at_idx ON sample USING btree (holds_from_at);
CREATE INDEX sample_made_issued_at_idx ON sample USING btree (made, issued_at);
CREATE INDEX sample_open_by_press ON sample USING btree (pressing_at, code) INCLUDE (has_lapsed, due_at, at_risk_at, tight_at, plant) WHERE settled IS NULL;
CREATE INDEX sample_out_of_order ON sample USING btree (plant) WHERE stage = 'reported'::text AND ending IS NULL AND purpose <> 'retained'::text AND ('out of order'::text = ANY (flags));
CREATE INDEX sample_plant_issued_at_idx ON sample USING btree (plant, issued_at);
CREATE INDEX sample_proved ON sample USING btree (made, issued_at) WHERE stage = 'reported'::text AND failed_at IS NULL AND NOT is_unruled AND (purpose = ANY (ARRAY['first'::text, 're-collection'::text]));
CREATE INDEX sample_replaced_by ON sample USING btree (replaced_by) WHERE replaced_by IS NOT NULL;
CREATE INDEX sample_replacing ON sample USING btree (replaces) WHERE replaces IS NOT NULL;
CREATE INDEX sample_settled ON sample USING btree (plant, settled_at, code) INCLUDE (laboratory) WHERE settled IS NOT NULL;
CREATE INDEX sample_unfinished ON sample USING btree (plant) WHERE stage IS DISTINCT FROM 'reported'::text AND ending IS NULL AND purpose <> 'retained'::text;
CREATE INDEX sample_unruled ON sample USING btree (plant) WHERE is_unruled AND ending IS DISTINCT FROM 'cancelled'::text;
ALTER TABLE sample ENABLE ROW LEVEL SECURITY;
ALTER TABLE sample FORCE ROW LEVEL SECURITY;
CREATE POLICY sample_derived ON sample FOR ALL TO PUBLIC
    USING (( SELECT holdfast_sees_all() AS holdfast_sees_all))
    WITH CHECK (( SELECT holdfast_sees_all() AS holdfast_sees_all));
CREATE POLICY sample_seen ON sample FOR SELECT TO PUBLIC
    USING (( SELECT holdfast_sees_all() AS holdfast_sees_all) OR (plant = ANY ((( SELECT holdfast_plants() AS holdfast_plants))::text[])) OR (laboratory = ANY ((( SELECT holdfast_laboratories() AS holdfast_laboratories))::text[])));
GRANT DELETE ON sample TO holdfast_app;
GRANT INSERT ON sample TO holdfast_app;
GRANT SELECT ON sample TO holdfast_app;
GRANT UPDATE ON sample TO holdfast_app;

-- session
CREATE TABLE session (
    id text NOT NULL,
    token text NOT NULL,
    person_id text NOT NULL,
    expires_at timestamp(3) with time zone NOT NULL,
    ip_address text,
    user_agent text,
    created_at timestamp(3) with time zone NOT NULL DEFAULT CURRENT_TIMESTAMP,
    updated_at timestamp(3) with time zone NOT NULL DEFAULT CURRENT_TIMESTAMP,
    CONSTRAINT session_pkey PRIMARY KEY (id),
    CONSTRAINT session_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON UPDATE CASCADE ON DELETE CASCADE
);
CREATE INDEX session_person_id_idx ON session USING btree (person_id);
CREATE UNIQUE INDEX session_token_key ON session USING btree (token);
GRANT DELETE ON session TO holdfast_door;
GRANT INSERT ON session TO holdfast_door;
GRANT SELECT ON session TO holdfast_door;
GRANT UPDATE ON session TO holdfast_door;

-- setup_draft
CREATE TABLE setup_draft (
    id text NOT NULL,
    made_by text NOT NULL,
    made_at timestamp(3) with time zone NOT NULL,
    content jsonb NOT NULL,
    CONSTRAINT setup_draft_pkey PRIMARY KEY (id)
);
CREATE INDEX setup_draft_made_at_idx ON setup_draft USING btree (made_at);
ALTER TABLE setup_draft ENABLE ROW LEVEL SECURITY;
ALTER TABLE setup_draft FORCE ROW LEVEL SECURITY;
CREATE POLICY setup_draft_kept ON setup_draft FOR ALL TO PUBLIC
    USING (( SELECT holdfast_sees_all() AS holdfast_sees_all))
    WITH CHECK (( SELECT holdfast_sees_all() AS holdfast_sees_all));
GRANT DELETE ON setup_draft TO holdfast_app;
GRANT INSERT ON setup_draft TO holdfast_app;
GRANT SELECT ON setup_draft TO holdfast_app;

-- sign_in_request
CREATE TABLE sign_in_request (
    id text NOT NULL,
    person_id text,
    address_digest bytea NOT NULL,
    source text NOT NULL,
    link_digest bytea NOT NULL,
    code_digest bytea NOT NULL,
    tries_left integer NOT NULL,
    wanted text,
    asked_at timestamp(3) with time zone NOT NULL,
    expires_at timestamp(3) with time zone NOT NULL,
    used_at timestamp(3) with time zone,
    CONSTRAINT sign_in_request_pkey PRIMARY KEY (id),
    CONSTRAINT sign_in_request_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON UPDATE CASCADE ON DELETE CASCADE
);
CREATE INDEX sign_in_request_address_digest_asked_at_idx ON sign_in_request USING btree (address_digest, asked_at);
CREATE UNIQUE INDEX sign_in_request_link_digest_key ON sign_in_request USING btree (link_digest);
CREATE INDEX sign_in_request_source_asked_at_idx ON sign_in_request USING btree (source, asked_at);
GRANT DELETE ON sign_in_request TO holdfast_door;
GRANT INSERT ON sign_in_request TO holdfast_door;
GRANT SELECT ON sign_in_request TO holdfast_door;
GRANT UPDATE ON sign_in_request TO holdfast_door;

-- snooze
CREATE TABLE snooze (
    seq bigint NOT NULL DEFAULT nextval('snooze_seq_seq'::regclass),
    subject text NOT NULL,
    plant text NOT NULL,
    laboratory text NOT NULL,
    until_at timestamp(3) with time zone NOT NULL,
    reason text NOT NULL,
    made_by text NOT NULL,
    made_at timestamp(3) with time zone NOT NULL,
    CONSTRAINT snooze_pkey PRIMARY KEY (seq)
);
CREATE INDEX snooze_subject_seq_idx ON snooze USING btree (subject, seq);
ALTER TABLE snooze ENABLE ROW LEVEL SECURITY;
ALTER TABLE snooze FORCE ROW LEVEL SECURITY;
CREATE POLICY snooze_seen ON snooze FOR ALL TO PUBLIC
    USING (( SELECT holdfast_sees_all() AS holdfast_sees_all) OR (plant = ANY ((( SELECT holdfast_plants() AS holdfast_plants))::text[])) OR (laboratory = ANY ((( SELECT holdfast_laboratories() AS holdfast_laboratories))::text[])));
GRANT INSERT ON snooze TO holdfast_app;
GRANT SELECT ON snooze TO holdfast_app;

-- unplaced
CREATE TABLE unplaced (
    event_seq bigint NOT NULL,
    is_claim boolean NOT NULL DEFAULT false,
    CONSTRAINT unplaced_pkey PRIMARY KEY (event_seq),
    CONSTRAINT unplaced_event_seq_fkey FOREIGN KEY (event_seq) REFERENCES event(seq) ON UPDATE CASCADE ON DELETE RESTRICT
);
ALTER TABLE unplaced ENABLE ROW LEVEL SECURITY;
ALTER TABLE unplaced FORCE ROW LEVEL SECURITY;
CREATE POLICY unplaced_derived ON unplaced FOR ALL TO PUBLIC
    USING (( SELECT holdfast_sees_all() AS holdfast_sees_all))
    WITH CHECK (( SELECT holdfast_sees_all() AS holdfast_sees_all));
GRANT DELETE ON unplaced TO holdfast_app;
GRANT INSERT ON unplaced TO holdfast_app;
GRANT SELECT ON unplaced TO holdfast_app;
GRANT UPDATE ON unplaced TO holdfast_app;

-- used_signature
CREATE TABLE used_signature (
    digest bytea NOT NULL,
    used_at timestamp(3) with time zone NOT NULL,
    CONSTRAINT used_signature_pkey PRIMARY KEY (digest)
);
GRANT DELETE ON used_signature TO holdfast_door;
GRANT INSERT ON used_signature TO holdfast_door;
GRANT SELECT ON used_signature TO holdfast_door;
GRANT UPDATE ON used_signature TO holdfast_door;

-- verification
CREATE TABLE verification (
    id text NOT NULL,
    identifier text NOT NULL,
    value text NOT NULL,
    expires_at timestamp(3) with time zone NOT NULL,
    created_at timestamp(3) with time zone NOT NULL DEFAULT CURRENT_TIMESTAMP,
    updated_at timestamp(3) with time zone NOT NULL DEFAULT CURRENT_TIMESTAMP,
    CONSTRAINT verification_pkey PRIMARY KEY (id)
);
CREATE INDEX verification_expires_at_idx ON verification USING btree (expires_at);
CREATE INDEX verification_identifier_idx ON verification USING btree (identifier);
GRANT DELETE ON verification TO holdfast_door;
GRANT INSERT ON verification TO holdfast_door;
GRANT SELECT ON verification TO holdfast_door;
GRANT UPDATE ON verification TO holdfast_door;

-- Functions
CREATE OR REPLACE FUNCTION public.holdfast_laboratories()
 RETURNS text[]
 LANGUAGE sql
 STABLE
AS $function$
    SELECT coalesce(nullif(split_part(current_setting('holdfast.scope', true), chr(31), 3), ''), '{}')::text[]
$function$;
GRANT EXECUTE ON FUNCTION holdfast_laboratories() TO PUBLIC;

CREATE OR REPLACE FUNCTION public.holdfast_plants()
 RETURNS text[]
 LANGUAGE sql
 STABLE
AS $function$
    SELECT coalesce(nullif(split_part(current_setting('holdfast.scope', true), chr(31), 2), ''), '{}')::text[]
$function$;
GRANT EXECUTE ON FUNCTION holdfast_plants() TO PUBLIC;

CREATE OR REPLACE FUNCTION public.holdfast_refuse_unscoped()
 RETURNS boolean
 LANGUAGE plpgsql
 STABLE
AS $function$
BEGIN
    RAISE EXCEPTION 'This session has no scope and would see no rows. To save the data, run: npm run backup -- FILE (README.md says how pg_dump is used).'
        USING ERRCODE = 'insufficient_privilege';
END $function$;
GRANT EXECUTE ON FUNCTION holdfast_refuse_unscoped() TO PUBLIC;

CREATE OR REPLACE FUNCTION public.holdfast_sees_all()
 RETURNS boolean
 LANGUAGE sql
 STABLE
AS $function$
    SELECT CASE
        WHEN coalesce(current_setting('holdfast.scope', true), '') = 'all' THEN true
        WHEN coalesce(current_setting('holdfast.scope', true), '') <> '' THEN false
        WHEN current_user IN ('holdfast_app', 'holdfast_door') THEN false
        ELSE public.holdfast_refuse_unscoped()
    END
$function$;
GRANT EXECUTE ON FUNCTION holdfast_sees_all() TO PUBLIC;

CREATE OR REPLACE FUNCTION public.holdfast_sees_some()
 RETURNS boolean
 LANGUAGE sql
 STABLE
AS $function$
    SELECT coalesce(current_setting('holdfast.scope', true), '') <> ''
$function$;
GRANT EXECUTE ON FUNCTION holdfast_sees_some() TO PUBLIC;

CREATE OR REPLACE FUNCTION public.holdfast_try_write()
 RETURNS void
 LANGUAGE plpgsql
AS $function$
BEGIN
  CREATE TEMP TABLE "holdfast_try" ON COMMIT DROP AS SELECT repeat('x', 1000) AS "filler" FROM generate_series(1, 64);
END
$function$;
GRANT EXECUTE ON FUNCTION holdfast_try_write() TO holdfast_door;

CREATE OR REPLACE FUNCTION public.refuse_change()
 RETURNS trigger
 LANGUAGE plpgsql
AS $function$
BEGIN
    RAISE EXCEPTION 'The ledger "%" only grows: report a correction instead of a change.', TG_TABLE_NAME
        USING ERRCODE = 'restrict_violation';
END $function$;
GRANT EXECUTE ON FUNCTION refuse_change() TO PUBLIC;

-- Sequences
CREATE SEQUENCE audit_entry_seq_seq AS bigint INCREMENT 1 MINVALUE 1 MAXVALUE 9223372036854775807 START 1 CACHE 1 OWNED BY audit_entry.seq;
GRANT USAGE ON SEQUENCE audit_entry_seq_seq TO holdfast_app;
GRANT USAGE ON SEQUENCE audit_entry_seq_seq TO holdfast_door;

CREATE SEQUENCE event_seq_seq AS bigint INCREMENT 1 MINVALUE 1 MAXVALUE 9223372036854775807 START 1 CACHE 1 OWNED BY event.seq;
GRANT USAGE ON SEQUENCE event_seq_seq TO holdfast_app;

CREATE SEQUENCE person_role_id_seq AS bigint INCREMENT 1 MINVALUE 1 MAXVALUE 9223372036854775807 START 1 CACHE 1 OWNED BY person_role.id;
GRANT USAGE ON SEQUENCE person_role_id_seq TO holdfast_door;

CREATE SEQUENCE register_entry_seq_seq AS bigint INCREMENT 1 MINVALUE 1 MAXVALUE 9223372036854775807 START 1 CACHE 1 OWNED BY register_entry.seq;
GRANT USAGE ON SEQUENCE register_entry_seq_seq TO holdfast_app;

CREATE SEQUENCE snooze_seq_seq AS bigint INCREMENT 1 MINVALUE 1 MAXVALUE 9223372036854775807 START 1 CACHE 1 OWNED BY snooze.seq;
GRANT USAGE ON SEQUENCE snooze_seq_seq TO holdfast_app;
