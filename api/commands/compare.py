"""`boreworth compare`: repair, sleeve or replace."""

from api.commands.edge import AsJson, BookFile, JobFile, faults_in, opened, print_json, print_page

__all__ = ["compare"]


def compare(job: JobFile, as_json: AsJson = False, pricebook: BookFile = None) -> None:
    """Compare repair, sleeve and replacement by their cost a year."""
    document, book = opened(job, pricebook)
    with faults_in(job):
        from estimator.compare import compare as compared

        found = compared(document, book)
    if as_json:
        print_json(found)
        return
    from exports.page.choice import comparison_page

    print_page(comparison_page(found))
