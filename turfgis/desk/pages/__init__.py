"""One module a page: each asks for the figures and hands them to its template. ``ROUTES`` says under which address."""
