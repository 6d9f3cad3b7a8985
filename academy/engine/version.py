"""The number that rises when an old answer would grade differently."""

VERSION = 2
