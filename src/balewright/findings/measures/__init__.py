"""What is watched for change: one number a bale each, with what explains it honestly."""
