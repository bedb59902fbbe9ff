"""Sends made-up requests from the OpenAPI description to a demo base: none may fail inside, and every answer must be one
that the description names. Usage: python fuzz.py http://127.0.0.1:8420 [requests for each operation]"""

import json
import subprocess
import sys
import tempfile
import urllib.request

CHECKS = "not_a_server_error,status_code_conformance,content_type_conformance,response_schema_conformance"


def main() -> int:
    if len(sys.argv) not in (2, 3):
        print(__doc__, file=sys.stderr)
        return 2
    site = sys.argv[1].rstrip("/")
    examples = sys.argv[2] if len(sys.argv) == 3 else "40"
    with urllib.request.urlopen(f"{site}/api/me") as answer:
        seal = json.load(answer)["seal"]
    # It keeps what it found in the folder in which it runs.
    with tempfile.TemporaryDirectory() as folder:
        run = [
            *(sys.executable, "-m", "schemathesis.cli", "run", f"{site}/api/openapi.json"),
            *("--header", f"X-Seal: {seal}", "--checks", CHECKS),
            *("--max-examples", examples, "--seed", "1", "--no-color"),
        ]
        return subprocess.run(run, cwd=folder, check=False).returncode


if __name__ == "__main__":
    sys.exit(main())
