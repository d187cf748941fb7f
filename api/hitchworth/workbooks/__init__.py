"""Tables in and out: the columns of the model's records in a sheet; CSV, XLSX and ODS; receipts from anywhere."""
