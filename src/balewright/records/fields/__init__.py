"""Where bales lie: outlines of fields, places told or worked out, and bales under a wrong job."""
