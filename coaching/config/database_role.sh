#!/bin/sh
# Run once by the image of PostgreSQL on an empty volume: the program's own role, which owns its database and no more.
psql --set=ON_ERROR_STOP=1 --username=postgres --dbname=postgres --quiet <<'SQL'
\getenv password TENPADS_DATABASE_PASSWORD
CREATE ROLE tenpads LOGIN PASSWORD :'password' NOSUPERUSER NOCREATEDB NOCREATEROLE NOREPLICATION NOBYPASSRLS;
CREATE DATABASE tenpads OWNER tenpads ENCODING 'UTF8' TEMPLATE template0;
REVOKE ALL ON DATABASE tenpads FROM PUBLIC;
SQL
