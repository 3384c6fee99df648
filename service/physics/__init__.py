"""The heat model: small modules by physical subject, pure functions of arrays, SI units."""
