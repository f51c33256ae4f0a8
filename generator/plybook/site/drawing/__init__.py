"""Boards, men and marks as SVG."""
