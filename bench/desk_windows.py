"""``python -m bench.desk_windows BASE COOKIE NAME COUNT``: so many open windows of a tune, looking
on, each doing what the page does: hold or ask again for events, then read, look and draw.

Run as a process of its own by bench_desk, so that it takes no time of the one that is measured;
prints ``open`` once all have read the tune, and ends with its input.
"""

import asyncio
import json
import sys

import httpx2

AGAIN_S = 1.0
"""As the server's ``retry`` says."""


async def window(client: httpx2.AsyncClient, name: str, opened: asyncio.Semaphore) -> None:
    """One window, for ever."""
    seen = ""
    version = (await client.get(f"/api/tunes/{name}")).json()["version"]
    opened.release()
    while True:
        headers = {"Last-Event-ID": seen} if seen else {}
        async with client.stream("GET", "/api/events", headers=headers) as stream:
            async for line in stream.aiter_lines():
                if line.startswith("id: "):
                    seen = line[4:]
                elif line.startswith("data: "):
                    told = json.loads(line[6:])["changed"]["version"]
                    if told > version:
                        version = await _drawn(client, name)
        await asyncio.sleep(AGAIN_S)


async def _drawn(client: httpx2.AsyncClient, name: str) -> int:
    version = (await client.get(f"/api/tunes/{name}")).json()["version"]
    for what in ("look", "staff"):
        answer = await client.get(f"/api/tunes/{name}/{what}", params={"version": version})
        if answer.status_code != 200:
            break
    return int(version)


async def main(base: str, cookie: str, name: str, count: int) -> None:
    """Open the windows and wait for the end of the input."""
    key, _, value = cookie.partition("=")
    limits = httpx2.Limits(max_connections=None)
    async with httpx2.AsyncClient(
        base_url=base, cookies={key: value}, timeout=60, limits=limits
    ) as client:
        opened = asyncio.Semaphore(0)
        windows = [asyncio.create_task(window(client, name, opened)) for _ in range(count)]
        for _ in windows:
            await opened.acquire()
        print("open", flush=True)
        await asyncio.to_thread(sys.stdin.read)
        for task in windows:
            task.cancel()
        await asyncio.gather(*windows, return_exceptions=True)


if __name__ == "__main__":
    asyncio.run(main(sys.argv[1], sys.argv[2], sys.argv[3], int(sys.argv[4])))
