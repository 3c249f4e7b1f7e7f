//! Arguments to a config; one file a command.
