"""The deployment file as data: it cannot be started here, so its form and what it promises are read from it.

Form: the JSON schema of the Compose Specification (fixtures/reference/compose-spec.md names source and licence).
Each promise is a function that lists its breaches; the second half spoils a copy and expects a breach.
"""

import copy
import hashlib
import json
import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
import yaml

from api.v1 import parsing
from athletes.records.photos import shape
from coaching.config import environment, settings
from coaching.config.celery import app

ROOT = Path(__file__).resolve().parents[2]
CONFIG = ROOT / "coaching" / "config"
REFERENCE = ROOT / "fixtures" / "reference"
TEXT = (ROOT / "docker-compose.yml").read_text()
DOCKERFILE = (CONFIG / "Dockerfile").read_text()
PROXY = (CONFIG / "proxy.conf").read_text()
OURS = "tenpads:"
VARIABLE = re.compile(r"(?<!\$)\$\{([A-Z_]+)(?:(:?[-?+])([^}]*))?\}")
SECRET = re.compile(r"PASSWORD|SECRET|KEY|TOKEN|AUTH")
SETTINGS_SEEN = set(re.findall(r'env\.\w+\("(TENPADS_\w+)"', (CONFIG / "environment.py").read_text()))
NEEDED = {"TENPADS_DATABASE_URL", "TENPADS_REDIS_URL", "TENPADS_SECRET_KEY", "TENPADS_ALLOWED_HOSTS",
          "TENPADS_SECURE", "TENPADS_EMBEDDED"}  # fmt: skip


def compose() -> dict:
    return yaml.safe_load(TEXT)


def command(service: dict) -> list[str]:
    """Words of a command; what a shell would run is split into words too."""
    return [word for part in service.get("command", []) for word in shlex.split(part)]


def option(words: list[str], name: str) -> str | None:
    """Value after `name` or behind `name=`."""
    for word, after in zip(words, [*words[1:], ""], strict=True):
        if word == name or word.startswith(name + "="):
            return word.partition("=")[2] or after
    return None


def filled(value: object, given: dict[str, str]) -> str:
    """A value as Compose would fill it in: given, else its default."""
    return VARIABLE.sub(lambda found: given.get(found[1]) or found[3], str(value)).replace("$$", "$")


# --- promises: each gives the list of its breaches


def out_of_schema(file: dict) -> list[str]:
    schema = json.loads((REFERENCE / "compose-spec.json").read_text())
    return [error.message for error in jsonschema.Draft201909Validator(schema).iter_errors(file)]


def secrets_with_a_default(file: dict) -> list[str]:
    """Every variable for a secret is required with a message, and no secret is written out."""
    found = []
    for name, mark, words in VARIABLE.findall(yaml.dump(file, width=10_000)):
        if SECRET.search(name) and (mark != ":?" or not words.strip()):
            found.append(name)
    for service in file["services"].values():
        for key, value in service.get("environment", {}).items():
            said = VARIABLE.sub("", str(value))
            inline = re.search(r"//[^/]*:([^@/]+)@", said) or (SECRET.search(key) and said.strip())
            found += [key] if inline else []
    return found


def without_health(file: dict) -> list[str]:
    """Services with neither a health check nor the way of a one-shot, which others wait for to end well."""
    waited_for = {
        name
        for service in file["services"].values()
        for name, how in service.get("depends_on", {}).items()
        if how["condition"] == "service_completed_successfully"
    }
    once = {name for name, service in file["services"].items() if service["restart"] == "no"} & waited_for
    return [n for n, s in file["services"].items() if n not in once and not s.get("healthcheck", {}).get("test")]


def open_doors(file: dict) -> list[str]:
    """Only the proxy publishes, by default on this machine alone, and it meets nobody but web."""
    services = file["services"]
    found = [name for name, service in services.items() if name != "proxy" and service.get("ports")]
    found += [port for port in services["proxy"]["ports"] if not filled(port, {}).startswith("127.0.0.1:")]
    seen = set(services["proxy"]["networks"])
    found += [n for n, s in services.items() if n not in ("proxy", "web") and seen & set(s["networks"])]
    inside = {network for n, s in services.items() if n != "proxy" for network in s["networks"]}
    return found + [network for network in inside if not (file["networks"][network] or {}).get("internal")]


def broker_faults(file: dict) -> list[str]:
    words = command(file["services"]["redis"])
    wanted = {"--maxmemory-policy": "noeviction", "--appendonly": "yes"}
    found = [name for name, value in wanted.items() if option(words, name) != value]
    return found + [name for name in ("--maxmemory",) if not option(words, name)]


def loose_images(file: dict) -> list[str]:
    """Images without a version of major.minor, or with a host in the name."""
    images = [service["image"] for service in file["services"].values()]
    return [i for i in images if not re.fullmatch(r"[a-z]+(/[a-z-]+)?:\d+\.\d+(\.\d+)?(-[a-z]+)?", i)]


def unknown_settings(file: dict) -> list[str]:
    found = []
    for service in file["services"].values():
        if service["image"].startswith(OURS):
            given = {key for key in service["environment"] if key.startswith("TENPADS_")}
            found += sorted(given - SETTINGS_SEEN) + sorted(NEEDED - given)
    return found


def queue_faults(file: dict) -> list[str]:
    """Each queue that the settings name has a worker of its own, and every task goes to one of them."""
    lists = [option(command(service), "--queues") or "" for service in workers(file).values()]
    heard = set(lists)
    found = sorted(heard ^ set(app.amqp.queues)) + sorted(name for name in heard if lists.count(name) > 1)
    sent = {entry["task"] for entry in app.conf.beat_schedule.values()}
    sent |= {name for name in app.tasks if name.startswith("coaching.")}
    return found + [name for name in sorted(sent) if app.amqp.router.route({}, name)["queue"].name not in heard]


def workers(file: dict) -> dict[str, dict]:
    """Services that run a worker of Celery."""
    return {name: service for name, service in file["services"].items() if "worker" in command(service)}


def worker_faults(file: dict) -> list[str]:
    found = [name for name, service in workers(file).items() for name in one_worker_faults(command(service))]
    beats = [n for n, s in file["services"].items() if "beat" in command(s)]
    return found + ([] if beats == ["beat"] and len(workers(file)) == 2 else ["beat or workers"])


def one_worker_faults(words: list[str]) -> list[str]:
    numbered = ("--max-tasks-per-child", "--max-memory-per-child", "--concurrency")
    found = [name for name in numbered if not (option(words, name) or "").isdigit()]
    found += [word for word in words if word in ("-B", "--beat", "-E", "--task-events")]
    return found + ([] if option(words, "--pool") == "prefork" else ["pool"])


def web_faults(file: dict) -> list[str]:
    web = file["services"]["web"]
    words, waits = command(web), web["depends_on"]
    found = [flag for flag in ("--no-control-socket", "--threads=4") if flag not in words]
    found += [] if waits["postgres"]["condition"] == "service_healthy" else ["postgres"]
    found += [] if waits["migrate"]["condition"] == "service_completed_successfully" else ["migrate"]
    # Check-ins are taken while the queue is away.
    found += ["redis"] if "redis" in waits else []
    return found + ([] if "/readyz" in " ".join(web["healthcheck"]["test"]) else ["readyz"])


def ungirded(file: dict) -> list[str]:
    """Hardening, limits and log rotation that a service lacks."""
    users = re.findall(r"^USER (\w+)$", DOCKERFILE, re.MULTILINE)
    found = []
    for name, service in file["services"].items():
        user = users[-1] if service["image"].startswith(OURS) else service.get("user", "root")
        lacking = {
            "user": user in ("root", "0"),
            "read_only": service.get("read_only") is not True,
            "privileges": "no-new-privileges:true" not in service.get("security_opt", []),
            "capabilities": service.get("cap_drop") != ["ALL"],
            "restart": service.get("restart") not in ("no", "unless-stopped"),
            "limits": {"cpus", "memory"} - set(service["deploy"]["resources"]["limits"]),
            "logs": {"max-size", "max-file"} - set(service["logging"]["options"]),
        }
        found += [f"{name}: {what}" for what, lacks in lacking.items() if lacks]
    return found


ERASURES = "/var/lib/tenpads/erasures"


def unkept(file: dict) -> list[str]:
    """Places whose content must outlive a container, and files that are mounted but missing."""
    mounts = {name: service.get("volumes", []) for name, service in file["services"].items()}
    targets = {"postgres": "/var/lib/postgresql/data", "redis": "/data", "beat": "/var/lib/tenpads/beat",
               "worker-batch": ERASURES, "migrate": ERASURES}
    found = [
        name
        for name, target in targets.items()
        if not any(m.partition(":")[0] in file["volumes"] and m.endswith(":" + target) for m in mounts[name])
    ]
    bound = [m.split(":") for parts in mounts.values() for m in parts if m.startswith("./")]
    return found + [m[0] for m in bound if not (ROOT / m[0]).is_file() or m[-1] != "ro"]


PROMISES = [out_of_schema, secrets_with_a_default, without_health, open_doors, broker_faults, loose_images,
            unknown_settings, queue_faults, worker_faults, web_faults, ungirded, unkept]  # fmt: skip


@pytest.mark.parametrize("promise", PROMISES, ids=lambda promise: promise.__name__)
def test_promise_is_kept(promise):
    assert promise(compose()) == []


def test_schema_is_the_published_one():
    digest = hashlib.sha256((REFERENCE / "compose-spec.json").read_bytes()).hexdigest()
    assert digest in (REFERENCE / "compose-spec.md").read_text()
    assert "Apache License" in (REFERENCE / "compose-spec.LICENSE").read_text()


def test_settings_read_from_the_file_are_those_of_the_scale_path(monkeypatch):
    secrets = ("TENPADS_DATABASE_PASSWORD", "TENPADS_REDIS_PASSWORD", "TENPADS_SECRET_KEY")
    given = {**dict.fromkeys(secrets, "Abc-123_x"), "TENPADS_ALLOWED_HOSTS": "skin.example,b.example"}
    for key, value in compose()["services"]["web"]["environment"].items():
        monkeypatch.setenv(key, filled(value, given))
    found = environment.read()
    database = settings.database(found.database_url)
    assert (database["HOST"], database["NAME"], database["PASSWORD"]) == ("postgres", "tenpads", "Abc-123_x")
    assert found.redis_url == "redis://:Abc-123_x@redis:6379/0"
    assert found.allowed_hosts == ["skin.example", "b.example", "localhost"]
    assert str(found.erasures).startswith(f"{ERASURES}/") and found.data_dir not in (found.erasures.parent,)
    assert (found.secure, found.embedded, found.debug) == (True, False, False)
    assert found.proxies == 2


# --- the same promises, broken one at a time


def at(file: dict, path: str) -> tuple[dict, str]:
    *parents, last = path.split("/")
    for name in parents:
        file = file[name]
    return file, last


REDIS_EVICTS = [part.replace("noeviction", "allkeys-lru") for part in compose()["services"]["redis"]["command"]]
SPOILT = [
    (out_of_schema, "services/web/helthcheck", {"test": ["CMD", "true"]}),
    (out_of_schema, "services/web/depends_on/postgres", {"condition": "service_well"}),
    (secrets_with_a_default, "services/web/environment/TENPADS_SECRET_KEY", "${TENPADS_SECRET_KEY:-changeme}"),
    (secrets_with_a_default, "services/web/environment/TENPADS_SECRET_KEY", "${TENPADS_SECRET_KEY}"),
    (secrets_with_a_default, "services/web/environment/TENPADS_REDIS_URL", "redis://:changeme@redis:6379/0"),
    (secrets_with_a_default, "services/postgres/environment/POSTGRES_PASSWORD", "changeme"),
    (without_health, "services/beat/healthcheck", {}),
    (without_health, "services/worker-fresh/depends_on", {}),
    (without_health, "services/worker-batch/healthcheck", {}),
    (open_doors, "services/postgres/ports", ["5432:5432"]),
    (open_doors, "services/proxy/ports", ["8080:8080"]),
    (open_doors, "services/proxy/networks", ["edge", "front", "back"]),
    (open_doors, "networks/back", None),
    (broker_faults, "services/redis/command", REDIS_EVICTS),
    (loose_images, "services/proxy/image", "nginx:latest"),
    (loose_images, "services/proxy/image", "mirror.example/nginx:1.28"),
    (unknown_settings, "services/beat/environment/TENPADS_REDIS", "redis://redis"),
    (queue_faults, "services/worker-batch/command", ["celery", "worker", "--queues=fresh"]),
    (queue_faults, "services/worker-fresh/command", ["celery", "worker", "--queues=fresh,batch"]),
    (worker_faults, "services/worker-fresh/command", ["celery", "worker", "--beat", "--pool=prefork"]),
    (worker_faults, "services/worker-batch/command", ["true"]),
    (web_faults, "services/web/depends_on/redis", {"condition": "service_healthy"}),
    (web_faults, "services/web/command", ["gunicorn", "--threads=4"]),
    (ungirded, "services/redis/user", "root"),
    (ungirded, "services/redis/read_only", False),
    (ungirded, "services/redis/logging", {"driver": "json-file", "options": {}}),
    (unkept, "services/postgres/volumes", ["/var/lib/postgresql/data"]),
    (unkept, "services/worker-batch/volumes", ["/var/lib/tenpads/erasures"]),
    (unkept, "services/proxy/volumes", ["./coaching/config/no.conf:/etc/nginx/nginx.conf:ro"]),
]


@pytest.mark.parametrize(("promise", "path", "value"), SPOILT, ids=[f"{p.__name__}-{w}" for p, w, _ in SPOILT])
def test_breach_is_seen(promise, path, value):
    file = copy.deepcopy(compose())
    if path == "services/worker-fresh/depends_on":
        file["services"] = {n: {**s, "depends_on": value} for n, s in file["services"].items()}
    place, last = at(file, path)
    place[last] = value
    # Breaches that stand already do not count: the spoilt place itself must add one.
    assert len(promise(file)) > len(promise(compose()))


# --- the image


def instructions(text: str = DOCKERFILE) -> list[tuple[str, str]]:
    plain = "\n".join(line for line in text.splitlines() if not line.startswith("#")).replace("\\\n", " ")
    return [tuple(line.split(maxsplit=1)) for line in plain.splitlines() if line.strip()]


def copied() -> list[str]:
    return [source for word, rest in instructions() if word == "COPY" for source in rest.split()[:-1]]


def install_faults(text: str) -> list[str]:
    """What the one installation lacks of hashes, wheels and lock, or says about where packages come from."""
    installs = [rest for word, rest in instructions(text) if word == "RUN" and "pip install" in rest]
    words = shlex.split(" ".join(rest.partition("&&")[0] for rest in installs))
    wanted = {"--require-hashes": "--only-binary", "--only-binary": ":all:", "--requirement": "requirements.lock"}
    found = [name for name, value in wanted.items() if option(words, name) != value]
    named = {word.partition("=")[0] for word in words if word.startswith("-")}
    found += sorted(named - set(wanted) - {"--no-cache-dir", "--disable-pip-version-check", "--no-compile"})
    return found + ([] if len(installs) == 1 else ["installations"])


def test_packages_are_installed_from_the_lock_by_hash_and_as_wheels():
    assert install_faults(DOCKERFILE) == []


@pytest.mark.parametrize(("old", "new"), [
    ("--require-hashes", ""),
    (":all:", "numpy"),
    ("--requirement requirements.lock", "django"),
    ("--no-compile", "--trusted-host=mirror.example"),
    ("USER tenpads", "RUN pip install extra"),
])  # fmt: skip
def test_loosened_installation_is_seen(old, new):
    assert old in DOCKERFILE
    assert install_faults(DOCKERFILE.replace(old, new)) != []


def test_image_is_pinned_runs_as_nobody_special_and_keeps_no_key():
    found = instructions()
    assert found[0] == ("FROM", "python:3.11-slim") and found[-1] == ("USER", "tenpads")
    kept = " ".join(rest for word, rest in found if word in ("ENV", "ARG"))
    assert "COACHING_NO_BOOTSTRAP=1" in kept
    assert not SECRET.search(kept)


def test_build_context_lets_through_what_is_copied_and_no_more():
    lines = [line for line in (ROOT / ".dockerignore").read_text().splitlines() if line and line[0] != "#"]
    assert lines[0] == "*"
    assert {line[1:] for line in lines if line.startswith("!")} == set(copied())


def test_what_is_copied_is_enough_to_run_and_leaves_no_key(tmp_path):
    for source in copied():
        copier = shutil.copytree if (ROOT / source).is_dir() else shutil.copy
        copier(ROOT / source, tmp_path / source)
    env = {key: value for key, value in os.environ.items() if not key.startswith(("TENPADS_", "DJANGO_"))}
    env |= {"COACHING_NO_BOOTSTRAP": "1", "TENPADS_DATA": str(tmp_path / "data"), "PYTHONDONTWRITEBYTECODE": "1"}
    step = next(re.search(r"((?:TENPADS_\w+=\S+\s+)+)python (manage\.py collectstatic [^&]*)", rest)
                for word, rest in instructions() if "collectstatic" in rest)  # fmt: skip
    env |= dict(word.split("=", 1) for word in step[1].split())
    ours = {"cwd": tmp_path, "env": env, "check": True, "capture_output": True, "umask": 0o022}
    subprocess.run([sys.executable, *step[2].split()], **ours)
    modules = "import coaching.config.wsgi, coaching.config.celery"
    subprocess.run([sys.executable, "-c", modules], **ours)
    assert (tmp_path / "data" / "static" / "tenpads").is_dir()
    # Root collects them, and another account serves them.
    assert all(path.stat().st_mode & 0o004 for path in (tmp_path / "data", *(tmp_path / "data").rglob("*")))
    assert not (tmp_path / "data" / "secret_key").exists()


# --- the proxy and the database's role


def directives(text: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for line in (line.strip() for line in text.splitlines()):
        if line.endswith(";") and not line.startswith("#"):
            name, _, value = line[:-1].partition(" ")
            found.setdefault(name, []).append(value.strip())
    return found


def proxy_faults(text: str) -> list[str]:
    """Directives that differ from what keeps half-sent requests away from the program's threads."""
    said = directives(text)
    wanted = {
        "proxy_request_buffering": ["on"], "proxy_buffering": ["on"], "client_max_body_size": ["2m", "14m"],
        "client_header_timeout": ["10s"], "client_body_timeout": ["15s"], "proxy_next_upstream": ["off"],
        "underscores_in_headers": ["off"], "server_tokens": ["off"], "proxy_pass": ["http://$web"] * 2,
    }  # fmt: skip
    found = [name for name, value in wanted.items() if said.get(name) != value]
    headers = dict(value.split(" ", 1) for value in said.get("proxy_set_header", []))
    wanted_headers = {
        "Host": "$http_host", "X-Forwarded-Proto": "$scheme_in_front", "X-Forwarded-For": "$proxy_add_x_forwarded_for",
        "X-Forwarded-Ssl": '""', "X-Forwarded-Protocol": '""', "X-Forwarded-Host": '""', "Forwarded": '""',
    }  # fmt: skip
    return found + [name for name, value in wanted_headers.items() if headers.get(name) != value]


def test_proxy_buffers_limits_and_times_out():
    assert proxy_faults(PROXY) == []


def test_proxy_lets_a_photo_through_where_one_is_sent_and_no_more_elsewhere():
    """What the program takes goes through: raw by a form without scripts, and in base64 by a phone."""
    (where,) = re.findall(r"location ~ (\S+) \{\s*client_max_body_size 14m;", PROXY)
    sent = ("/me/damage", "/me/damage/d-0123456789abcdef", "/api/v1/athletes/a1/deliveries")
    assert all(re.search(where, path) for path in sent)
    assert not any(re.search(where, path) for path in ("/me/check-in", "/api/v1/athletes/a1/check-ins", "/login"))
    assert max(shape.MOST_BYTES, parsing.WithPhotoJSON.longest_bytes) < 14 * 2**20


@pytest.mark.parametrize(("old", "new"), [
    ("proxy_request_buffering on", "proxy_request_buffering off"),
    ("client_max_body_size 2m;", ""),
    ('proxy_set_header X-Forwarded-Ssl "";', ""),
    ("$scheme_in_front;", "$http_x_forwarded_proto;"),
])  # fmt: skip
def test_loosened_proxy_is_seen(old, new):
    assert old in PROXY
    assert proxy_faults(PROXY.replace(old, new)) != []


def test_proxy_leads_to_web_alone_and_ports_agree():
    services, said = compose()["services"], directives(PROXY)
    upstream = [value.split()[1] for value in said["set"]]
    port = (option(command(services["web"]), "--bind") or "").rpartition(":")[2]
    assert upstream == [f"web:{port}"]
    assert said["listen"] == [f"{services['proxy']['ports'][0].rpartition(':')[2]} default_server"]
    assert not {"root", "alias", "autoindex", "ssl_certificate"} & set(said)


def test_program_signs_in_as_a_role_without_power():
    role = (CONFIG / "database_role.sh").read_text()
    web = compose()["services"]["web"]["environment"]["TENPADS_DATABASE_URL"]
    name = re.match(r"postgresql://(\w+):", web)[1]
    assert f"CREATE ROLE {name} LOGIN PASSWORD :'password' NOSUPERUSER" in role
    assert compose()["services"]["postgres"]["environment"].get("POSTGRES_USER", "postgres") != name
