"""A command that tells all its faulty options at once, in the words in which files are faulted."""

from __future__ import annotations

from collections.abc import Iterator

import click

from optimizer.jobs.output import OutputFault


class Command(click.Command):
    """One of ours: each fault as "--option: must be …, was …", on a line of its own."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """What click asks for. Raises UsageError with every fault."""
        try:
            return super().parse_args(ctx, list(args))
        except (click.BadParameter, OutputFault):
            faults = list(self._faults(ctx, list(args)))
        except click.NoSuchOption as unknown:
            near = f"; did you mean {unknown.possibilities[0]}?" if unknown.possibilities else ""
            faults = [f"{unknown.option_name}: unknown option{near}"]
        except click.BadOptionUsage as bad:
            flags = [
                name for option in self.params if getattr(option, "is_flag", False) for name in option.opts
            ]
            must = (
                "must be given without a value" if bad.option_name in flags else "must be followed by a value"
            )
            faults = [f"{bad.option_name}: {must}"]
        raise click.UsageError("\n".join(faults), ctx)

    def _faults(self, ctx: click.Context, args: list[str]) -> Iterator[str]:
        given, rest, _ = self.make_parser(ctx).parse_args(args)
        for param in self.params:
            try:
                param.handle_parse_result(ctx, given, rest)
            except click.MissingParameter:
                yield f"{_name(param)}: must be given, was missing"
            except click.BadParameter as fault:
                yield f"{_name(param)}: {fault.message}"
            except OutputFault as fault:
                yield str(fault)


def _name(param: click.Parameter) -> str:
    """As the command line has it."""
    return param.opts[0] if isinstance(param, click.Option) else param.human_readable_name


class OneOf(click.Choice[str]):
    """One of a few words."""

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The word, or a fault in words."""
        try:
            return super().convert(value, param, ctx)
        except click.BadParameter:
            self.fail(f"must be one of {', '.join(self.choices)}, was {str(value)!r}", param, ctx)
