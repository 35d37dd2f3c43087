"""What is made of a report: text for a terminal, JSON for machines. Nothing here knows a rule or an XML element."""
