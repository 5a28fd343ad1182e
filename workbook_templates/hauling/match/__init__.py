"""The Match sheet: every trailer for one machine and truck. Nothing here draws."""
