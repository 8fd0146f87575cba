"""What to mind before deciding: cautions that stand on every summary."""

CAUTIONS = (
    "Figures are estimates for a private decision, not financial or tax advice.",
    "A cluster is not a backup: copies and parity help against failing hardware, not against deletion, theft, fire "
    "or ransomware.",
    "What runs day and night is a continuous load: shared sockets and old wiring carry less than the breaker says. "
    "Local code and a licensed electrician decide.",
    "All the power drawn ends as heat: a closed cupboard needs moving air. Rack gear is heavy and sharp-edged: two "
    "people lift it.",
    "Inspect used power supplies before use; replace swollen capacitors and old UPS batteries, and dispose of them "
    "as their maker and local rules say.",
)
