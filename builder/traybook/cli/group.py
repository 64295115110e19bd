"""The commands' list: the tool's own, loaded when they are used, and one for every verb."""

from __future__ import annotations

from importlib import import_module

import click


class Commands(click.Group):
    """A group whose commands are loaded by name, and which knows every verb as one."""

    lazy: dict[str, str]

    def __init__(self, *args: object, lazy: dict[str, str] | None = None, **kwargs: object) -> None:
        """`lazy` maps a command's name to `module:attribute`."""
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        self.lazy = lazy or {}

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Verbs first, in the order of the table, then the rest by name."""
        del ctx
        from traybook.cli.entry import verb_names

        own = {**self.commands, **self.lazy}
        return [*(v for v in verb_names() if v not in own), *sorted(own)]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of a name or, for a verb, of any of its spellings."""
        del ctx
        from traybook.cli.entry import verb_called, verb_command

        if cmd_name in self.lazy:
            module, _, name = self.lazy[cmd_name].partition(":")
            found: click.Command = getattr(import_module(module), name)
            return found
        if cmd_name in self.commands:
            return self.commands[cmd_name]
        called = verb_called(cmd_name)
        return verb_command(*called) if called else None

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click's, but a name that is nearly right is offered."""
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as error:
            from traybook.findings.model import offer
            from traybook.text.names import near

            close = offer(near(args[0], self.list_commands(ctx))) if args else ""
            raise click.UsageError(f"{error.message} {close}".strip(), ctx) from None
