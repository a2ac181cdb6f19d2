"""Two commands on a fresh machine: `python3 run.py demo` and `python3 run.py test`.

Standard library only. Makes `.venv`, installs the pinned requirements into it, then hands over.
"""

import sys

LOWEST, HIGHEST = (3, 11), (3, 14)
if not LOWEST <= sys.version_info[:2] <= HIGHEST:
    sys.exit(
        f"run.py: needs Python 3.{LOWEST[1]} to 3.{HIGHEST[1]}, this is {sys.version.split()[0]}. "
        "Install one of them and call it by name, for example: python3.11 run.py demo"
    )

import hashlib  # noqa: E402
import os  # noqa: E402
import shutil  # noqa: E402
import subprocess  # noqa: E402
import tarfile  # noqa: E402
import time  # noqa: E402
from pathlib import Path  # noqa: E402

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
STAMP = VENV / "balewright-installed"
SPARK = ROOT / ".spark-server"
SPARK_PINS = ROOT / "requirements-spark.txt"
SAFE_TAR = hasattr(tarfile, "data_filter")
THIS_PYTHON = f"{ROOT} {sys.version_info[0]}.{sys.version_info[1]}"
USAGE = """usage: python3 run.py demo [OPTIONS OF balewright demo]
       python3 run.py test [--data FOLDER] [OPTIONS OF pytest]

demo   sets itself up and serves the desk on an invented fleet
test   sets itself up and runs every test; --data names the folder of real files"""


def say(text: str) -> None:
    """One line of progress."""
    print("run.py: " + text, flush=True)


def stop(text: str) -> None:
    """End with a clear line that says what is missing and what to do."""
    sys.exit("run.py: " + text)


def wanted(purpose: str) -> str:
    """The stamp of a venv that is good for `purpose`: this checkout and these pinned files."""
    names = ["requirements.txt", "pyproject.toml"]
    if purpose == "test":
        names.insert(0, "requirements-test.txt")
    digest = hashlib.sha256("".join((ROOT / name).read_text() for name in names).encode())
    return f"{digest.hexdigest()} {THIS_PYTHON}"


def is_set_up(purpose: str) -> bool:
    """Whether `.venv` already holds what `purpose` needs."""
    stamps = STAMP.read_text().splitlines() if STAMP.exists() else []
    return wanted(purpose) in stamps and (BIN / "python").exists()


def make_venv() -> None:
    """A virtual environment of its own, made anew when it is of another Python."""
    say("making a virtual environment in .venv")
    import_venv = [sys.executable, "-c", "import venv, ensurepip"]
    if subprocess.run(import_venv, check=False, capture_output=True).returncode != 0:
        stop(
            "this Python has no venv module. On Debian or Ubuntu: apt-get install python3-venv; "
            "then run this again."
        )
    shutil.rmtree(VENV, ignore_errors=True)
    if subprocess.run([sys.executable, "-m", "venv", str(VENV)], check=False).returncode != 0:
        stop("could not make .venv. Is there room on the disk, and may this folder be written?")


def install(purpose: str) -> None:
    """Install the pinned requirements and this package; each package is named as it comes."""
    listed = "requirements-test.txt" if purpose == "test" else "requirements.txt"
    count = sum("==" in line for line in (ROOT / listed).read_text().splitlines())
    say(f"installing {count} pinned packages (once; some 250 MB to fetch)")
    pip = [str(BIN / "python"), "-m", "pip", "--disable-pip-version-check", "--no-input"]
    pinned = ["install", "--require-hashes", "--no-deps", "--no-compile", "-r", str(ROOT / listed)]
    started = time.monotonic()
    follow([*pip, *pinned], "Is there a network? Run this again to go on.")
    own = ["install", "--quiet", "--no-deps", "--no-build-isolation", "-e", str(ROOT)]
    follow([*pip, *own], "This is a fault of ours; please report the lines above.")
    say(f"installed in {time.monotonic() - started:.0f} s")


def follow(command: list, cure: str) -> None:
    """Run a pip command, show one short line a package, keep the rest for when it fails."""
    lines = []
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=clean_env()
    ) as pip:
        for line in pip.stdout:
            lines.append(line.rstrip())
            if line.startswith("Collecting "):
                print("  fetching " + line.split()[1].replace("==", " "), flush=True)
            elif line.startswith("Installing collected"):
                print("  putting them in place", flush=True)
    if pip.returncode != 0:
        print("\n".join(lines[-15:]))
        stop("the installation did not finish. " + cure)


def clean_env() -> dict:
    """The environment without what leads Python or pip astray, or compiles at every start."""
    drop = ("PYTHONPATH", "PYTHONHOME", "PYTHONDONTWRITEBYTECODE")
    drop += ("PIP_REQUIRE_VIRTUALENV", "PIP_TARGET", "PIP_USER")
    env = {name: value for name, value in os.environ.items() if name not in drop}
    env["PATH"] = str(BIN) + os.pathsep + env.get("PATH", "")
    env["VIRTUAL_ENV"] = str(VENV)
    return env


def set_up(purpose: str) -> None:
    """Make and fill `.venv` unless it is good already."""
    if is_set_up(purpose):
        return
    same_python = STAMP.exists() and all(
        line.endswith(THIS_PYTHON) for line in STAMP.read_text().splitlines()
    )
    if not same_python:
        make_venv()
    install(purpose)
    stamps = {wanted("demo"), wanted(purpose)}
    STAMP.write_text("\n".join(sorted(stamps)) + "\n")


def set_up_spark() -> None:
    """Fetch the server that the tests over Spark talk to. Without it they are skipped by name."""
    stamp, pins = SPARK / "installed", hashlib.sha256(SPARK_PINS.read_bytes()).hexdigest()
    if stamp.exists() and stamp.read_text() == pins:
        return
    if shutil.which("java") is None:
        say("no Java here: the tests over Spark are skipped")
        return
    say("fetching a Spark server for the tests (once; some 450 MB)")
    started = time.monotonic()
    shutil.rmtree(SPARK, ignore_errors=True)
    packed = SPARK / "packed"
    pip = [str(BIN / "python"), "-m", "pip", "--disable-pip-version-check", "--no-input"]
    fetch = ["download", "--quiet", "--no-cache-dir", "--no-deps", "--no-build-isolation"]
    pinned = ["--require-hashes", "-r", str(SPARK_PINS), "-d", str(packed)]
    if subprocess.run([*pip, *fetch, *pinned], check=False, env=clean_env()).returncode != 0:
        say("could not fetch the Spark server: the tests over Spark are skipped")
        return
    unpack_spark(next(packed.glob("pyspark-*.tar.gz")))
    shutil.rmtree(packed)
    stamp.write_text(pins)
    say(f"fetched and unpacked in {time.monotonic() - started:.0f} s")


def unpack_spark(packed: Path) -> None:
    """Unpack the server's programs and jars alone: its Python part is the client's already."""
    wanted_folders = ("deps/bin/", "deps/jars/", "deps/licenses/")
    with tarfile.open(packed) as tar:
        for member in tar:
            inside = member.name.partition("/")[2]
            if member.isfile() and inside.startswith(wanted_folders):
                member.name = inside[len("deps/") :]
                tar.extract(member, SPARK, **({"filter": "data"} if SAFE_TAR else {}))


def with_full_data_path(options: list) -> list:
    """The options with `--data FOLDER` as one word and absolute: pytest starts in ROOT.

    As two words pytest would take the folder for a place of tests.
    """
    joined, rest = [], list(options)
    while rest:
        option = rest.pop(0)
        if option == "--data" and rest:
            option = "--data=" + rest.pop(0)
        if option.startswith("--data="):
            option = "--data=" + os.path.abspath(option[len("--data=") :])
        joined.append(option)
    return joined


def main(words: list) -> None:
    """Set up, then become the command: signals and the exit code are its own."""
    if not words or words[0] in ("-h", "--help"):
        print(USAGE)
        sys.exit(0 if words else 2)
    purpose, options = words[0], words[1:]
    if purpose == "demo":
        command = [str(BIN / "balewright"), "demo", *options]
    elif purpose == "test":
        command = [str(BIN / "python"), "-m", "pytest", *with_full_data_path(options)]
    else:
        stop(f"knows demo and test, not {purpose!r}.\n{USAGE}")
    os.chdir(ROOT)
    set_up(purpose)
    if purpose == "test":
        set_up_spark()
    say("starting the desk" if purpose == "demo" else "running every test")
    os.execve(command[0], command, clean_env())  # noqa: S606 - a fixed command, no shell


if __name__ == "__main__":
    main(sys.argv[1:])
