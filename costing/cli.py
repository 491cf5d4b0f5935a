"""The command line: options in, one call, text out. Faults become messages and exit codes here and nowhere else."""

from __future__ import annotations

import errno
import signal
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from costing.season.costed import Season
    from costing.shown.subjects import Subject


class _PathName(click.ParamType):  # type: ignore[type-arg]  # generic in newer versions of click only
    """The name of a file or folder, whether it is there or not."""

    name = "path"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        """Return it as a path; click's own type would need pathlib for the help already."""
        from pathlib import Path  # noqa: PLC0415  # start-up stays light

        return Path(value)


class _Filling(click.ParamType):  # type: ignore[type-arg]  # generic in newer versions of click only
    """A product and how many of it to fill, as PRODUCT=N."""

    name = "filling"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> tuple[str, float]:
        """Return the two."""
        product, _, number = str(value).rpartition("=")
        try:
            return product.strip(), float(number)
        except ValueError:
            self.fail(f'"{value}" names no number; write it like "Lavender whip 120 g=25"', param, ctx)


PATH = _PathName()
SEASON = click.argument("season", type=PATH, metavar="SEASON")
FAULTS, WRONG_USE, FILE_TROUBLE = 1, 2, 3
INTERRUPTED, TERMINATED = 130, 143  # as shells say it of a program that a signal ended: 128 and the signal's number


@contextmanager
def _told() -> Iterator[None]:
    """Turn faults and refusals into messages and exit codes."""
    from costing.errors import Faults, FileTrouble, Refusal  # noqa: PLC0415  # start-up stays light

    try:
        yield
    except Faults as error:
        count = len(error.faults)
        click.echo(f"{count} fault{'s' if count > 1 else ''} in the records; nothing was costed or written.", err=True)
        for fault in error.faults:
            click.echo(f"  {fault}", err=True)
        sys.exit(FAULTS)
    except Refusal as error:
        click.echo(str(error), err=True)
        sys.exit(FILE_TROUBLE if isinstance(error, FileTrouble) else WRONG_USE)


class _Terminated(BaseException):  # and no Exception, so that nothing on the way takes it for a fault of a file
    """The system or another program asked this one to end."""


def _terminate(*_: object) -> None:
    raise _Terminated


class _Commands(click.Group):
    """The commands; ended from outside, each puts its files in order and says so."""

    def main(self, *arguments: Any, **named: Any) -> Any:
        """Run as a program, and show what terminals would else obey."""
        from costing.shown.terminal import lines_shown  # noqa: PLC0415  # start-up stays light

        with lines_shown():
            return super().main(*arguments, **named)

    def invoke(self, ctx: click.Context) -> object:
        """Run the command that was asked for."""
        before = signal.signal(signal.SIGTERM, _terminate)
        try:
            return super().invoke(ctx)
        except (KeyboardInterrupt, _Terminated) as error:
            interrupted = isinstance(error, KeyboardInterrupt)
            told = "Interrupted" if interrupted else "Terminated"
            click.echo(f"{told}; each file is as it was, or written whole. Run the command again to be sure.", err=True)
            sys.exit(INTERRUPTED if interrupted else TERMINATED)
        except OSError as error:  # a name too long, a working folder that is gone, a full device: told by the system alone
            if error.errno == errno.EPIPE:  # nobody reads on, which click ends on quietly
                raise
            with suppress(OSError):
                click.echo(f"{error.filename or 'The output'}: cannot be used ({error.strerror})", err=True)
            sys.exit(FILE_TROUBLE)
        finally:
            signal.signal(signal.SIGTERM, before)


def _costed(path: Path) -> Season:
    from costing.exchange.season_files import open_season  # noqa: PLC0415  # start-up stays light
    from costing.season.working_out import cost  # noqa: PLC0415  # start-up stays light

    source = open_season(path)
    for notice in source.notices:
        click.echo(f"noticed: {notice}", err=True)
    return cost(source.records())


def _costed_of_two(path: Path) -> Season:
    """Cost one of two seasons; its faults name which of the two they are in."""
    from costing.errors import Fault, Faults  # noqa: PLC0415  # start-up stays light

    try:
        return _costed(path)
    except Faults as error:
        raise Faults([Fault(f"{path}: {fault.where}", fault.what, fault.do) for fault in error.faults]) from None


def _example(text: str) -> Callable[[click.Command], click.Command]:
    """Add an example to a command's help, as it would be typed."""

    def add(command: click.Command) -> click.Command:
        command.epilog = f"Example:  {text}"
        return command

    return add


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]}, epilog="Example:  costing show sample")
@click.version_option(package_name="costing", message="costing %(version)s")
def main() -> None:
    """Price soap formulas per gram from your own purchases, and write a pricing workbook.

    SEASON is a folder of CSV tables, or a workbook; make one to fill in with: costing start SEASON
    """


@_example("costing start my-season")
@main.command()
@click.argument("folder", type=PATH, metavar="SEASON")
@click.option("--workbook", is_flag=True, help="Make one .xlsx workbook instead of a folder.")
def start(folder: Path, *, workbook: bool) -> None:
    """Make a SEASON to fill in, with every column explained."""
    from costing.exchange.starting import GUIDE, start_folder, start_workbook  # noqa: PLC0415  # start-up stays light

    with _told():
        if workbook:
            path = start_workbook(folder)
            click.echo(f"Made {path} to fill in. Its sheet Notes explains every column.")
            return
        written = start_folder(folder)
        click.echo(f"Made {folder} with {len(written) - 1} tables. {folder / GUIDE} explains every column.")


@_example("costing check sample --verbose")
@main.command()
@SEASON
@click.option("--verbose", is_flag=True, help="Tell how each table was read.")
def check(season: Path, *, verbose: bool) -> None:
    """Tell every fault and caution of a SEASON, and what was understood of its receipts."""
    from costing.errors import Doubt, Faults  # noqa: PLC0415  # start-up stays light
    from costing.exchange.checking import check as checked  # noqa: PLC0415  # start-up stays light
    from costing.shown.cautions_told import cautions_told  # noqa: PLC0415  # start-up stays light
    from costing.shown.understood import understood  # noqa: PLC0415  # start-up stays light

    with _told():
        found = checked(season)
        for line in found.how if verbose else ():
            click.echo(f"read {line}")
        if found.season is None:
            raise Faults(found.faults)
        records = found.season.records
        click.echo(
            f"No faults: {len(records.purchases)} purchases, {len(records.formulas)} formulas, "
            f"{len(records.products)} products."
        )
        for notice in found.notices:
            click.echo(f"noticed: {notice}")
        for caution in cautions_told(found.cautions):
            click.echo(f"{'doubt' if isinstance(caution, Doubt) else 'caution'}: {caution}")
        if any(isinstance(caution, Doubt) for caution in found.cautions):
            click.echo(
                "A doubt that you have looked at is quiet once its line, or what is before its colon, is in the table seen."
            )
        for part in understood(found.season):
            click.echo(f"\n{part}")


@_example("costing show sample prices stock")
@main.command()
@SEASON
@click.argument("subjects", nargs=-1, metavar="[SUBJECT …]")
@click.option("--json", "as_json", is_flag=True, help="The figures as one JSON object.")
@click.option("--all", "everything", is_flag=True, help="Every subject.")
def show(season: Path, subjects: tuple[str, ...], *, as_json: bool, everything: bool) -> None:
    """Show a SEASON in short, or one SUBJECT or more of it; the short answer lists what they are called."""
    from costing.shown.subjects import SUBJECTS, subjects_named  # noqa: PLC0415  # start-up stays light

    with _told():
        wanted = SUBJECTS if everything else subjects_named(subjects)
        costed = _costed(season)
        click.echo(_shown_as_json(costed, wanted) if as_json else _shown_as_text(costed, wanted, season))


def _shown_as_json(season: Season, wanted: Sequence[Subject]) -> str:
    """Return the figures of some subjects, or those that are always there; with all subjects, these come first."""
    import json  # noqa: PLC0415  # start-up stays light

    from costing.shown.keyed_figures import figures  # noqa: PLC0415  # start-up stays light
    from costing.shown.subjects import SUBJECTS  # noqa: PLC0415  # start-up stays light

    shown = {key: figure for subject in wanted for key, figure in subject.figures(season).items()}
    return json.dumps(shown if wanted and wanted is not SUBJECTS else figures(season) | shown, indent=2, allow_nan=False)


def _shown_as_text(season: Season, wanted: Sequence[Subject], path: Path) -> str:
    from costing.shown.report import heading  # noqa: PLC0415  # start-up stays light
    from costing.shown.summary import summary  # noqa: PLC0415  # start-up stays light

    if not wanted:
        return summary(season, path)
    return "\n\n".join((heading(season), *(subject.report(season) for subject in wanted)))


@_example("costing compare sample/last-season sample")
@main.command()
@click.argument("old", type=PATH, metavar="OLD")
@click.argument("new", type=PATH, metavar="NEW")
@click.option("--json", "as_json", is_flag=True, help="All figures as one JSON object.")
def compare(old: Path, new: Path, *, as_json: bool) -> None:
    """Show what changed from an OLD season to a NEW one, and why."""
    from costing.season.comparing import compare as compared  # noqa: PLC0415  # start-up stays light
    from costing.shown.comparison import comparison_figures, comparison_report  # noqa: PLC0415  # start-up stays light

    with _told():
        comparison = compared(_costed_of_two(old), _costed_of_two(new))
        if as_json:
            import json  # noqa: PLC0415  # start-up stays light

            click.echo(json.dumps(comparison_figures(comparison), indent=2, allow_nan=False))
        else:
            click.echo(comparison_report(comparison))


@_example('costing weigh sample "Lavender whipped soap" --grams 2500')
@main.command()
@SEASON
@click.argument("formula")
@click.option("--batches", type=float, help="How many batches at once.")
@click.option("--grams", type=float, help="Grams that are to come out of it.")
@click.option("--fill", "fills", type=_Filling(), multiple=True, metavar="PRODUCT=N", help="Enough to fill N of a PRODUCT.")
def weigh(
    season: Path, formula: str, batches: float | None, grams: float | None, fills: tuple[tuple[str, float], ...]
) -> None:
    """Print the bench card of a FORMULA: what to weigh in, step by step."""
    from costing.exchange.season_files import read_season  # noqa: PLC0415  # start-up stays light
    from costing.season.weighing_out import weigh_out  # noqa: PLC0415  # start-up stays light
    from costing.shown.bench_card import bench_report  # noqa: PLC0415  # start-up stays light

    with _told():
        card = weigh_out(read_season(season), formula, batches=batches, grams=grams, fills=dict(fills))
        click.echo(bench_report(card))


@_example("costing next sample next-season --priced-on 2027-05-01")
@main.command(name="next")
@click.argument("old", type=PATH, metavar="OLD")
@click.argument("new", type=PATH, metavar="NEW")
@click.option(
    "--priced-on", type=click.DateTime(["%Y-%m-%d"]), metavar="DATE", required=True, help="NEW's day of prices: 2027-05-01."
)
def next_(old: Path, new: Path, priced_on: datetime) -> None:
    """Make the NEW season from an OLD one, which stays as it is.

    NEW is a folder that is not there yet or empty, or a workbook that ends in .xlsx. Purchases, formulas, tubs, products,
    channels, overheads and the plan are taken along, and prices as they were used; weighings and batches are left behind.
    """
    from costing.exchange.next_season import next_season  # noqa: PLC0415  # start-up stays light
    from costing.shown.next_steps import next_report  # noqa: PLC0415  # start-up stays light

    with _told():
        click.echo(next_report(next_season(old, new, priced_on.date()), old))


@_example('costing trace sample "Lavender whipped soap 120 g"')
@main.command()
@SEASON
@click.argument("product")
def trace(season: Path, product: str) -> None:
    """Show where the cost of one PRODUCT comes from, down to the receipts."""
    from costing.season.tracing import trace as traced  # noqa: PLC0415  # start-up stays light
    from costing.season.tracing import trace_channels  # noqa: PLC0415  # start-up stays light
    from costing.shown.report import trace_report  # noqa: PLC0415  # start-up stays light

    with _told():
        costed = _costed(season)
        click.echo(trace_report(traced(costed, product), *trace_channels(costed, product)))


@_example("costing carry prices.xlsx my-season")
@main.command()
@click.argument("workbook", type=PATH, metavar="BOOK.xlsx")
@click.argument("season", type=PATH)
@click.option("--yes", is_flag=True, help="Write without asking.")
@click.option("--settle", type=click.Choice(["workbook", "records"]), help="Which side's cells to take in conflicts.")
def carry(workbook: Path, season: Path, *, yes: bool, settle: str | None) -> None:
    """Carry the edits made in a pricing workbook back into a SEASON's folder."""
    from costing.exchange.carrying import carry as write  # noqa: PLC0415  # start-up stays light
    from costing.exchange.carrying import plan_carrying  # noqa: PLC0415  # start-up stays light

    with _told():
        planned = plan_carrying(workbook, season, settle_with=settle or "")
        for notice in planned.notices:
            click.echo(f"noticed: {notice}")
        for change in planned.changes:
            click.echo(f"carry  {change}")
        for conflict in planned.conflicts:
            click.echo(f"conflict  {conflict}", err=True)
        if planned.conflicts:
            click.echo(
                f"{_counted(len(planned.conflicts), 'cell')} changed in the workbook and in the records since the export; "
                f"nothing was written. Bring one side in line by hand and carry again, or say which side's to take with "
                f"--settle workbook or --settle records.",
                err=True,
            )
            sys.exit(FAULTS)
        if not planned.changes:
            write(planned)  # there may be a state to log, where both sides were changed alike
            click.echo(_nothing_to_carry(planned.differing))
            return
        many = _counted(len(planned.changes), "change")
        if not yes and not click.confirm(f"Write {many} into {season}?", err=True):
            click.echo("Nothing was written.", err=True)
            sys.exit(FAULTS)
        kept = write(planned)
        place = f" Kept what was there in {kept[0].parent}." if kept else ""
        click.echo(f"Wrote {many} into {season}.{place}")


def _counted(number: int, thing: str) -> str:
    return f"{number} {thing}{'' if number == 1 else 's'}"


def _nothing_to_carry(differing: int) -> str:
    """Say that nothing is to be carried, and whether both sides therefore hold the same."""
    if not differing:
        return "Nothing to carry: the records hold all that the workbook does."
    rows = _counted(differing, "row")
    return f"Nothing to carry: no edit in the workbook is new. {rows} of the records differ from it and stay as they are."


@_example("costing names azeite")
@main.command()
@click.argument("word", required=False, default="")
def names(word: str) -> None:
    """List what the packaged list knows; with a WORD in any language, every name of what is called so."""
    from costing.shown.known_names import names_report  # noqa: PLC0415  # start-up stays light

    with _told():
        click.echo(names_report(word))


@_example("costing schema > schema.json")
@main.command()
def schema() -> None:
    """Print the tables of a season as Frictionless Table Schema descriptors."""
    import json  # noqa: PLC0415  # start-up stays light

    from costing.folder.descriptors import package  # noqa: PLC0415  # start-up stays light

    click.echo(json.dumps(package(), indent=2, ensure_ascii=False))


@_example("costing export sample -o prices.xlsx")
@main.command()
@SEASON
@click.option("-o", "--output", type=PATH, help="The file to write; else SEASON's name with -prices.xlsx.")
@click.option("--replace", is_flag=True, help="Write over a file that is there already.")
@click.option("--since", type=PATH, metavar="OLD", help="Add a sheet of what changed since OLD.")
@click.option("--with", "also", metavar="NAME,…", default="", help="Show further sheets: price-ladder,stock.")
@click.option("--all-sheets", is_flag=True, help="Show every sheet there is.")
def export(  # noqa: PLR0913  # one name for each option
    season: Path, output: Path | None, since: Path | None, also: str, *, replace: bool, all_sheets: bool
) -> None:
    """Write the pricing workbook of a SEASON.

    It shows the sheets of every day, and those that it showed before. Its sheet Notes lists all others.
    """
    from pathlib import Path  # noqa: PLC0415  # start-up stays light

    from costing.exchange.season_files import export as write  # noqa: PLC0415  # start-up stays light
    from costing.season.comparing import compare as compared  # noqa: PLC0415  # start-up stays light

    target = output or Path(f"{season.resolve().name.removesuffix('.xlsx')}-prices.xlsx")
    with _told():
        costed = _costed(season)
        comparison = compared(_costed_of_two(since), costed) if since else None
        names = [name for name in also.split(",") if name.strip()]
        written = write(costed, target, replace=replace, since=comparison, also=names, all_sheets=all_sheets)
        looks = costed.looks.looks
        if written.kept:
            click.echo(f"Kept what was there as {written.kept}.")
        click.echo(
            f"Wrote {target}: {len(costed.products.rows)} products. Checks: {costed.checks.overall}; to look at: {looks:g}."
        )
