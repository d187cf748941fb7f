"""Published tables and definitions: data files with their sources under data/, and the loader that reads them."""
