"""Floats and arrays in SI, one module a phenomenon: path, friction, film, wear, uptake, flare. No objects, no I/O."""
