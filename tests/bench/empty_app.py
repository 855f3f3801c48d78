"""The yardstick: an app that does nothing but count keys on the screen."""

from __future__ import annotations

from textual import events
from textual.app import App, ComposeResult
from textual.widgets import Static


class EmptyApp(App[None]):
    """One Static, updated on each key."""

    ENABLE_COMMAND_PALETTE = False
    count = 0

    def compose(self) -> ComposeResult:
        """The counter."""
        yield Static("no key yet", id="count")

    def on_key(self, event: events.Key) -> None:
        """Count and show."""
        self.count += 1
        self.query_one("#count", Static).update(f"{self.count} keys")


if __name__ == "__main__":
    EmptyApp().run()
