"""Facts and definitions make an assessment, by three-valued logic and nothing else."""
