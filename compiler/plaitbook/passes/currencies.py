"""Digits after the point of each currency: ISO 4217, list one (transcribed from memory)."""

from __future__ import annotations

from decimal import Decimal

_TWO = (
    "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF "
    "CHF CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL "
    "HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP "
    "MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD "
    "SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD UYU UZS "
    "VED VES WST XCD YER ZAR ZMW"
)
_NONE = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"
_THREE = "BHD IQD JOD KWD LYD OMR TND"
_FOUR = "CLF UYW"

DIGITS: dict[str, int] = {
    code: digits
    for digits, codes in ((2, _TWO), (0, _NONE), (3, _THREE), (4, _FOUR))
    for code in codes.split()
}


def smallest_unit(currency: str) -> Decimal:
    """The smallest amount the currency can pay: 0.01 for EUR, 1 for JPY. KeyError for no ISO 4217 code."""
    return Decimal(1).scaleb(-DIGITS[currency])
