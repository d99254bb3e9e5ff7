"""The command's entry: commands are imported only when they are called, so that help is instant.

Exit codes: 0 done; 1 refused, with a sentence on standard error; 2 the call's words are off;
3 what was named is not there; 130 stopped by Ctrl-C.
"""

from __future__ import annotations

import importlib
import os
import sys

import click

COMMANDS = {
    "demo": ("demo", "Set up the demo gym, run the main job and serve the web app."),
    "serve": ("serve", "Serve the web app for the gyms in the data directory."),
    "gym": ("gym", "Start a gym of your own, or list those that are here."),
    "tonight": ("tonight", "Plan and print tonight's class sheet."),
    "why": ("why", "Take one athlete's load apart: every reason behind it."),
    "season": ("season", "Plan the season and print it, week by week."),
    "squad": ("squad", "List the squad with their main maxes."),
    "maxes": ("maxes", "Show one athlete's maxes: tested, estimated, and how sure."),
    "stock": ("stock", "List bars, plates, bands and what else the gym owns."),
    "contests": ("contests", "List the contest calendar."),
    "lifts": ("lifts", "List the lift catalogue."),
    "import": ("import_sheets", "Preview spreadsheets, and accept them with --accept."),
    "export": ("export", "Write everything entered as one workbook."),
    "templates": ("templates", "Write an empty workbook to fill in."),
    "paper": ("paper", "Write tonight's class sheet as a PDF."),
}
REFUSED, NOT_THERE, INTERRUPTED = 1, 3, 130


class _LazyGroup(click.Group):
    """A group whose commands live in modules that are imported when called."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002 - click's signature
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"heftwright.cli.{COMMANDS[cmd_name][0]}")
        command: click.Command = module.command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002 - click's signature
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in COMMANDS.items()])


@click.group(cls=_LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="heftwright")
@click.option("--data", type=click.Path(), help="Where the gym's data are (default: ./data).")
def heftwright(data: str | None) -> None:
    """From contest calendar, maxes and stock to every athlete's bar, the floor and the log."""
    if data:
        os.environ["HEFTWRIGHT_DATA"] = data


def run() -> None:
    """Run the command; a refusal becomes its sentence, never a trace."""
    from heftwright.domain.refusal import NotFoundError, Refusal

    try:
        heftwright(standalone_mode=False)
    except click.exceptions.Abort:
        sys.exit(INTERRUPTED)
    except click.ClickException as error:
        error.show()
        sys.exit(error.exit_code)
    except NotFoundError as error:
        click.echo(str(error), err=True)
        sys.exit(NOT_THERE)
    except Refusal as error:
        click.echo(str(error), err=True)
        sys.exit(REFUSED)
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)
    except OSError as error:
        click.echo(_file_words(error), err=True)
        sys.exit(REFUSED)


def _file_words(error: OSError) -> str:
    """A file or folder that cannot be read or written, in a sentence."""
    if not error.filename:
        return f"The machine refused: {error.strerror or error}."
    return (
        f"“{error.filename}” cannot be used ({error.strerror}): check the path and who may write "
        "there, or choose another."
    )


if __name__ == "__main__":
    run()
