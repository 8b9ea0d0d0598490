//! Tests of the hold.
