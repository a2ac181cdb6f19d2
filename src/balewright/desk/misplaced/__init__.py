"""Bales under a wrong job, the splits proposed and those accepted."""
