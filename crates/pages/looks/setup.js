// Setting a boat up.
