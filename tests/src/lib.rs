//! Outside checks: see the integration tests beside this file.
