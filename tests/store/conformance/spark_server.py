"""A Spark Connect server on this machine alone, for as long as some tests need one."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

HOME = Path(__file__).parents[3] / ".spark-server"
_SETTINGS = (
    "spark.connect.grpc.binding.address=127.0.0.1",
    "spark.driver.host=127.0.0.1",
    "spark.driver.bindAddress=127.0.0.1",
    "spark.ui.enabled=false",
    "spark.sql.shuffle.partitions=2",
    "spark.sql.sources.parallelPartitionDiscovery.threshold=1000",  # no job to list small files
)
_WAIT_S = 300


def why_not() -> str | None:
    """What is missing here; None where a server can be started."""
    if shutil.which("java") is None:
        return "no Java on this machine"
    if not (HOME / "jars").is_dir():
        return "no Spark server in .spark-server: `python3 run.py test` fetches it"
    return None


@contextmanager
def running(folder: Path) -> Iterator[str]:
    """Start the server, give its address, end it. folder: for its log and its scratch files."""
    port = _free_port()
    settings = [f"spark.connect.grpc.binding.port={port}", f"spark.local.dir={folder}", *_SETTINGS]
    command = [str(HOME / "bin" / "spark-submit"), "--master", "local[2]", "--driver-memory", "1g"]
    command += ["--driver-java-options", "-XX:TieredStopAtLevel=1 -XX:+UseSerialGC"]
    command += [word for one in settings for word in ("--conf", one)]
    command += ["--class", "org.apache.spark.sql.connect.service.SparkConnectServer"]
    env = {**os.environ, "SPARK_HOME": str(HOME), "PYSPARK_PYTHON": sys.executable}
    env["SPARK_LOCAL_IP"] = "127.0.0.1"
    log = folder / "spark.log"
    with log.open("wb") as told:
        server = subprocess.Popen(
            [*command, "spark-internal"], env=env, cwd=folder, stdout=told, stderr=told
        )
    try:
        _wait_for(server, port, log)
        yield f"sc://127.0.0.1:{port}"
    finally:
        server.terminate()  # the script becomes the Java process: one process, by its number
        try:
            server.wait(20)
        except subprocess.TimeoutExpired:
            server.kill()
            server.wait()


def _free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as found:
        return int(found.getsockname()[1])


def _wait_for(server: subprocess.Popen[bytes], port: int, log: Path) -> None:
    until = time.monotonic() + _WAIT_S
    while time.monotonic() < until and server.poll() is None:
        try:
            socket.create_connection(("127.0.0.1", port), 1).close()
        except OSError:
            time.sleep(0.1)
        else:
            return
    raise RuntimeError("the Spark server did not start:\n" + log.read_text()[-3000:])
