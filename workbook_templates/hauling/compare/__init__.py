"""The Compare sheet: up to four trailers side by side for the machine and truck of Match. No rule is asked here."""
