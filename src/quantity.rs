//! Values with units: kinds, reading what people type, showing, uncertainty, verdicts.
