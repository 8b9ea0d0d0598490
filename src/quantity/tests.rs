//! Published values and properties, checked through the public face of the module.
