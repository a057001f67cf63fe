-- What Holdfast notes about the database itself, under a name that says so.
alter table mark rename to app_metadata;
alter table app_metadata rename constraint mark_pkey to app_metadata_pkey;
alter policy mark_seen on app_metadata rename to app_metadata_seen;
alter policy mark_set on app_metadata rename to app_metadata_set;
