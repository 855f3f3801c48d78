"""The benchmarks use the demo gym of the terminal tests."""

from tests.terminal.conftest import demo, made_demo

__all__ = ["demo", "made_demo"]
