"""`boreworth compare`: repair, sleeve or replace."""

from api.commands.edge import AsJson, BookFile, JobFile, faults_in, print_json, print_page, read_book, read_file

__all__ = ["compare"]


def compare(job: JobFile, as_json: AsJson = False, pricebook: BookFile = None) -> None:
    """Compare repair, sleeve and replacement by their cost a year."""
    book = read_book(pricebook)
    document = read_file(job)
    with faults_in(job):
        from estimator.compare import compare as compared

        found = compared(document, book)
    if as_json:
        print_json(found)
        return
    from exports.page.choice import comparison_page

    print_page(comparison_page(found))
