"""A machine's bales watched for change, so that new bales cost only themselves."""
