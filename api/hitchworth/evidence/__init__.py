"""Files of evidence: recognized by their content, read for date and place, made small, and freed of both."""
