"""Facts on kinds of cut flowers, read from text handed in; a farm's own facts come before them."""
