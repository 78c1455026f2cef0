#!/bin/sh
# Run once by the image of PostgreSQL on an empty volume: the program's own role, which owns its database and no more.
# What fails is logged without its statement and without the row: both hold what athletes tell.
psql --set=ON_ERROR_STOP=1 --username=postgres --dbname=postgres --quiet <<'SQL'
\getenv password TENPADS_DATABASE_PASSWORD
CREATE ROLE tenpads LOGIN PASSWORD :'password' NOSUPERUSER NOCREATEDB NOCREATEROLE NOREPLICATION NOBYPASSRLS;
ALTER ROLE tenpads SET log_min_error_statement = panic;
ALTER ROLE tenpads SET log_error_verbosity = terse;
CREATE DATABASE tenpads OWNER tenpads ENCODING 'UTF8' TEMPLATE template0;
REVOKE ALL ON DATABASE tenpads FROM PUBLIC;
SQL
