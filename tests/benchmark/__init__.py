"""What the program costs, as ratios within one run. Run it: PYTHONPATH=tests .venv/bin/python -m benchmark --help

Times are processor time, so what else runs on the machine counts little. The jobs of a group take turns, and of many
rounds the best counts. The floor of a job is typed decoding of its own body and encoding of what was decoded: nothing
that reads and answers JSON does less. A build is a new one for each call unless the row says otherwise, as most are
that a caller sends; what is kept from one request to the next would flatter it.
"""
