"""The envelopes of requests and answers, frozen and strict. Pattern documents have their schema in `grading`."""
