//! Jobs, threads, files, progress: the only place with threads and file output.
