"""Published equations as functions of quantities."""
