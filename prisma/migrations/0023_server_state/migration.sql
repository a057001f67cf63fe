-- What the running program, which owns nothing, may know and try of the database itself, as holdfast_door.

-- Whether the migrations that were applied are those of the program.
GRANT SELECT ON "_prisma_migrations" TO holdfast_door;

-- Writes 64 kB to a new file and drops it when the transaction ends, so it fails on a full disk, where a small update of
-- a row would still find room.
CREATE FUNCTION holdfast_try_write() RETURNS void LANGUAGE plpgsql VOLATILE AS $$
BEGIN
  CREATE TEMP TABLE "holdfast_try" ON COMMIT DROP AS SELECT repeat('x', 1000) AS "filler" FROM generate_series(1, 64);
END
$$;
REVOKE ALL ON FUNCTION holdfast_try_write() FROM PUBLIC;
GRANT EXECUTE ON FUNCTION holdfast_try_write() TO holdfast_door;
