"""The tools on the official kit's server; the same for HTTP and standard input and output."""

from __future__ import annotations

from typing import Any, Final

import anyio.to_thread
import mcp_types as types
from mcp.server import Server, ServerRequestContext
from mcp.server.stdio import stdio_server
from mcp.shared.exceptions import MCPError
from mcp_types.version import is_version_at_least

from rules.catalogue import said
from service.operation.version import VERSION
from service.problems.fire import fire_warning
from service.problems.json_text import JsonObject
from service.problems.problem import Problem
from service.talk.tools.answers import ToolAnswer, refusal_answer
from service.talk.tools.asking import ANSWER, Ask
from service.talk.tools.schemas import Schema
from service.talk.tools.table import BY_NAME, INSTRUCTIONS, TOOLS, ToolSpec, answered_plainly, run_tool
from service.work.places import asker, work

_ASKED_IN_THE_RESULT: Final = "2026-07-28"
"""From this version of the protocol on a server asks in its result, before it by a request of its own."""
_Context = ServerRequestContext[Any, Any]


def build() -> Server[Any]:
    """The server, ready for either way in."""
    return Server(
        "warmheap",
        version=VERSION,
        title="warmheap",
        instructions=INSTRUCTIONS,
        on_list_tools=_list_tools,
        on_call_tool=_call_tool,
    )


async def serve_stdio() -> None:
    """Serve one client on standard input and output until it goes."""
    server = build()
    async with stdio_server() as (incoming, outgoing):
        await server.run(incoming, outgoing, server.create_initialization_options())


def tool_list() -> list[types.Tool]:
    """The tools as they are listed, always in this order. None of them changes anything or reaches outside."""
    return [
        types.Tool(
            name=tool.name,
            title=tool.title,
            description=tool.description,
            input_schema=tool.takes,
            output_schema=tool.gives,
            annotations=types.ToolAnnotations(
                title=tool.title,
                read_only_hint=True,
                destructive_hint=False,
                idempotent_hint=True,
                open_world_hint=False,
            ),
        )
        for tool in TOOLS
    ]


async def _list_tools(context: _Context, params: types.PaginatedRequestParams | None) -> types.ListToolsResult:
    if params is not None and params.cursor is not None:  # there is one page, so no cursor was ever given out
        raise MCPError(types.INVALID_PARAMS, "there is no such cursor: all tools come at once")
    return types.ListToolsResult(tools=tool_list())


async def _call_tool(
    context: _Context, params: types.CallToolRequestParams
) -> types.CallToolResult | types.InputRequiredResult:
    tool = BY_NAME.get(params.name)
    if tool is None:
        return _result(ToolAnswer(said("tool.no-such-tool", tools=", ".join(BY_NAME)), None, failed=True))
    arguments = params.arguments or {}
    if tool.asks and not arguments.get("said") and _can_ask(context):
        return await _ask(context, params, tool, arguments)
    if asker.get() == "request":
        return _result(ToolAnswer(*await work(answered_plainly, tool.name, arguments)))
    return _result(await anyio.to_thread.run_sync(run_tool, tool, arguments))


def _result(answer: ToolAnswer) -> types.CallToolResult:
    texts = [types.TextContent(type="text", text=text) for text in (answer.text, answer.more) if text]
    return types.CallToolResult(content=[*texts], structured_content=answer.data, is_error=answer.failed)


def _can_ask(context: _Context) -> bool:
    """Whether the client says it can show a form, and can be reached with one."""
    capabilities = context.session.client_capabilities
    elicitation = capabilities.elicitation if capabilities else None
    if elicitation is None or (elicitation.form is None and elicitation.url is not None):
        return False
    return _asks_in_result(context) or context.session.can_send_request


def _asks_in_result(context: _Context) -> bool:
    return is_version_at_least(context.protocol_version, _ASKED_IN_THE_RESULT)


async def _ask(
    context: _Context, params: types.CallToolRequestParams, tool: ToolSpec, arguments: JsonObject
) -> types.CallToolResult | types.InputRequiredResult:
    """Put one question to the person; where it comes to nothing, give it as text."""
    try:
        ask = await anyio.to_thread.run_sync(Ask.of, arguments)
        asked = await anyio.to_thread.run_sync(ask.question)
        if asked["question"] is not None:
            message, form = ask.form(asked)
            request = types.ElicitRequest(params=types.ElicitRequestFormParams(message=message, requested_schema=form))
            reply = (params.input_responses or {}).get(ANSWER)
            if reply is None and _asks_in_result(context):
                return types.InputRequiredResult(input_requests={ANSWER: request})
            if reply is None:
                reply = await _by_request(context, message, form)
            told = _said(reply)
            if told is not None:
                await anyio.to_thread.run_sync(ask.take, told, asked)
        return _result(await anyio.to_thread.run_sync(ask.answer))
    except Problem as problem:
        return _result(refusal_answer(problem.warned(fire_warning(arguments)), tool.example))


async def _by_request(context: _Context, message: str, form: Schema) -> types.ElicitResult | None:
    """Ask by a request; some clients claim that they can be asked and fail, and then the text must do."""
    try:
        return await context.session.elicit_form(message, form, context.request_id)
    except Exception:  # whatever went wrong on the client's side
        return None


def _said(reply: object) -> str | None:
    """The person's answer, if one was given."""
    if not isinstance(reply, types.ElicitResult) or reply.action != "accept":
        return None
    said = (reply.content or {}).get(ANSWER)
    return said if isinstance(said, str) and said.strip() else None
