"""The places of the page. Each is a module with ``show(page)``; see ``trialfit.web.page.Page``."""
