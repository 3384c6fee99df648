"""The tools through the official client for Node, which was not written here."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.mcp.served import STATUS, running_service

NODE = shutil.which("node")
NPM = shutil.which("npm")
SCRIPT = """
import { Client } from "@modelcontextprotocol/sdk/client/index.js";
import { StreamableHTTPClientTransport } from "@modelcontextprotocol/sdk/client/streamableHttp.js";
const client = new Client({ name: "node-test", version: "1.0.0" });
await client.connect(new StreamableHTTPClientTransport(new URL(process.argv[2])));
const status = JSON.parse(process.argv[3]);
const { tools } = await client.listTools();
const advice = await client.callTool({ name: "advise", arguments: { status } });
const refused = await client.callTool({ name: "advise", arguments: { status: { pile: { age: -1 } } } });
const question = await client.callTool({ name: "next_question", arguments: { status: {} } });
console.log(JSON.stringify({ tools, advice, refused, question }));
await client.close();
"""


@pytest.mark.slow
@pytest.mark.skipif(NODE is None or NPM is None, reason="needs node and npm")
def test_the_node_client_lists_and_calls(tmp_path: Path) -> None:
    assert NODE is not None and NPM is not None
    (tmp_path / "package.json").write_text('{"type": "module", "private": true}')
    got = subprocess.run(
        [NPM, "install", "--no-audit", "--no-fund", "@modelcontextprotocol/sdk"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    if got.returncode != 0:
        pytest.skip(f"the package registry cannot be reached: {got.stderr[-200:]}")
    (tmp_path / "visit.mjs").write_text(SCRIPT)
    with running_service() as address:
        done = subprocess.run(
            [NODE, "visit.mjs", f"{address}/mcp", json.dumps(STATUS)],
            cwd=tmp_path,
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert [tool["name"] for tool in told["tools"]][:2] == ["advise", "next_question"]
    assert all(tool["annotations"]["readOnlyHint"] is True for tool in told["tools"])
    assert told["advice"]["structuredContent"]["actions"][0]["action"] == "add_water"
    assert "1. Add water" in told["advice"]["content"][0]["text"]
    assert told["refused"]["isError"] is True and "/pile/age" in told["refused"]["content"][0]["text"]
    assert "Ask the person: How old is the heap" in told["question"]["content"][0]["text"]
