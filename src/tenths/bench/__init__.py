"""The web app: routes, templates and static files; no computing of its own."""
