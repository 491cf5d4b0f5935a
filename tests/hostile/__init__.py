"""Bad input and bad luck: broken seasons, hostile workbooks, killed programs, full disks. Nothing may be lost or let in."""
