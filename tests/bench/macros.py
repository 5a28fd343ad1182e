"""The worksheet functions as a macro writer would put them in LibreOffice Basic: the yardstick of tests/bench.py.

They do the arithmetic only. What the add-in does beside it is left out here, in the macros' favour: no range checks, no
errors in words, no choice of words checked. The two functions of the drive-on sweep, where the add-in is exact, step
through 100 positions as a macro or a helper sheet would. Names begin with ``MACRO_`` in place of ``LOT_``.
"""

from __future__ import annotations

from tarelot.calc.tables import LOAD_INDEX_KG
from tarelot.calc.tiedowns import CHAIN_WLL_LB
from tarelot.calc.vin import LETTERS, YEARS
from tests.bench.macros_hauling import DRIVING_ON, HAULING, PLACING


def _array(values: list[float]) -> str:
    return f"Array({', '.join(f'{value:g}' for value in values)})"


TABLES = f"""
Public LoadIndex As Variant
Public ChainLimits As Variant

Sub ReadTables
    LoadIndex = {_array(list(LOAD_INDEX_KG))}
    ChainLimits = {_array([limit or 0 for row in CHAIN_WLL_LB for limit in row])}
End Sub
"""

RATINGS = """
Function MACRO_EMPTY_WEIGHT(base_weight, options_weight, scale_weight)
    If scale_weight <> 0 Then
        MACRO_EMPTY_WEIGHT = scale_weight
    Else
        MACRO_EMPTY_WEIGHT = base_weight + options_weight
    End If
End Function

Function MACRO_OPTIONS_WEIGHT(options, names, weights)
    Dim parts, part, i, r, c, total
    total = 0
    If options <> "" Then
        parts = Split(options, ";")
        For i = 0 To UBound(parts)
            part = LCase(Trim(parts(i)))
            Do While InStr(part, "  ") > 0
                part = Replace(part, "  ", " ")
            Loop
            If part <> "" Then
                For r = 1 To UBound(names, 1)
                    For c = 1 To UBound(names, 2)
                        If LCase(names(r, c)) = part Then total = total + weights(r, c)
                    Next c
                Next r
            End If
        Next i
    End If
    MACRO_OPTIONS_WEIGHT = total
End Function

Function MACRO_PAYLOAD(gross, empty_weight)
    MACRO_PAYLOAD = gross - empty_weight
End Function

Function MACRO_PIN_WEIGHT(gross, pin_share)
    MACRO_PIN_WEIGHT = gross * pin_share
End Function

Function MACRO_PIN_SHARE(pin_weight, gross)
    MACRO_PIN_SHARE = pin_weight / gross
End Function

Function MACRO_STICKER_PIN(gvwr, axles, axle_rating)
    Dim pin
    pin = gvwr - axles * axle_rating
    If pin < 0 Then pin = 0
    MACRO_STICKER_PIN = pin
End Function

Function MACRO_LOW_PIN_SHARE(hitch, stated_share)
    If stated_share <> 0 Then
        MACRO_LOW_PIN_SHARE = stated_share
    ElseIf LCase(Trim(hitch)) = "gooseneck" Then
        MACRO_LOW_PIN_SHARE = 0.15
    Else
        MACRO_LOW_PIN_SHARE = 0.1
    End If
End Function

Function MACRO_HIGH_PIN_SHARE(hitch, stated_share)
    If stated_share <> 0 Then
        MACRO_HIGH_PIN_SHARE = stated_share
    ElseIf LCase(Trim(hitch)) = "gooseneck" Then
        MACRO_HIGH_PIN_SHARE = 0.25
    Else
        MACRO_HIGH_PIN_SHARE = 0.15
    End If
End Function

Function MACRO_AXLE_LOAD(gross, pin_share)
    MACRO_AXLE_LOAD = gross * (1 - pin_share)
End Function

Function MACRO_AXLE_GROUP_RATING(axles, axle_rating, suspension_rating, tires_per_axle, tire_rating, wheel_rating)
    Dim least
    least = axle_rating
    If suspension_rating <> 0 Then If suspension_rating < least Then least = suspension_rating
    If tires_per_axle <> 0 Then
        If tire_rating <> 0 Then If tires_per_axle * tire_rating < least Then least = tires_per_axle * tire_rating
        If wheel_rating <> 0 Then If tires_per_axle * wheel_rating < least Then least = tires_per_axle * wheel_rating
    End If
    MACRO_AXLE_GROUP_RATING = axles * least
End Function

Function MACRO_WEAKEST_PART(axles, axle_rating, suspension_rating, tires_per_axle, tire_rating, wheel_rating)
    Dim least, part
    least = axle_rating
    part = "axles"
    If suspension_rating <> 0 Then
        If suspension_rating < least Then
            least = suspension_rating
            part = "suspension"
        End If
    End If
    If tires_per_axle <> 0 Then
        If tire_rating <> 0 Then
            If tires_per_axle * tire_rating < least Then
                least = tires_per_axle * tire_rating
                part = "tires"
            End If
        End If
        If wheel_rating <> 0 Then If tires_per_axle * wheel_rating < least Then part = "wheels"
    End If
    MACRO_WEAKEST_PART = part
End Function

Function MACRO_GROSS_LIMIT(gvwr, group_rating, coupler, vertical, low_share, high_share)
    Dim least, limit
    least = gvwr
    If group_rating <> 0 Then
        If low_share <> 0 Then limit = group_rating / (1 - low_share) Else limit = group_rating / 0.9
        If limit < least Then least = limit
    End If
    If coupler <> 0 Then If coupler < least Then least = coupler
    If vertical <> 0 Then
        If high_share <> 0 Then limit = vertical / high_share Else limit = vertical / 0.15
        If limit < least Then least = limit
    End If
    MACRO_GROSS_LIMIT = least
End Function

Function MACRO_LIMITED_BY(gvwr, group_rating, coupler, vertical, low_share, high_share)
    Dim least, limit, which
    least = gvwr
    which = "GVWR"
    If group_rating <> 0 Then
        If low_share <> 0 Then limit = group_rating / (1 - low_share) Else limit = group_rating / 0.9
        If limit < least Then
            least = limit
            which = "axle group"
        End If
    End If
    If coupler <> 0 Then
        If coupler < least Then
            least = coupler
            which = "coupler"
        End If
    End If
    If vertical <> 0 Then
        If high_share <> 0 Then limit = vertical / high_share Else limit = vertical / 0.15
        If limit < least Then which = "coupler vertical"
    End If
    MACRO_LIMITED_BY = which
End Function

Function MACRO_TOTAL(count, each_one)
    MACRO_TOTAL = count * each_one
End Function

Function MACRO_SHORTFALL(needed, rated)
    If needed > rated Then MACRO_SHORTFALL = needed - rated Else MACRO_SHORTFALL = 0
End Function

Function MACRO_RAMP_RISE(deck_height, tail_drop)
    MACRO_RAMP_RISE = deck_height - tail_drop
End Function

Function MACRO_RAMP_ANGLE(rise, ramp_length)
    Dim sine
    sine = rise / ramp_length
    MACRO_RAMP_ANGLE = Atn(sine / Sqr(1 - sine * sine)) * 57.2957795130823
End Function

Function MACRO_RAMP_LENGTH(rise, angle)
    MACRO_RAMP_LENGTH = rise / Sin(angle / 57.2957795130823)
End Function

Function MACRO_GRADE(angle)
    MACRO_GRADE = Tan(angle / 57.2957795130823)
End Function

Function MACRO_BREAKOVER_ANGLE(clearance, wheelbase)
    MACRO_BREAKOVER_ANGLE = 2 * Atn(2 * clearance / wheelbase) * 57.2957795130823
End Function

Function MACRO_TIRE_LOAD(load_index, unit)
    Dim kilograms
    If IsEmpty(LoadIndex) Then ReadTables
    kilograms = LoadIndex(load_index)
    If LCase(Trim(unit)) = "kg" Then MACRO_TIRE_LOAD = kilograms Else MACRO_TIRE_LOAD = kilograms / 0.45359237
End Function

Function MACRO_EXCISE_RATE(gvwr, unit)
    Dim limit
    limit = 26000
    If LCase(Trim(unit)) = "kg" Then limit = limit * 0.45359237
    If gvwr > limit Then MACRO_EXCISE_RATE = 0.12 Else MACRO_EXCISE_RATE = 0
End Function
"""

VIN = f"""
Function MACRO_VIN_CHECK(vin)
    Dim letters, weights, i, place, sum, expected
    letters = UCase(Trim(vin))
    If Len(letters) <> 17 Then
        MACRO_VIN_CHECK = "has " & Len(letters) & " characters, not 17"
        Exit Function
    End If
    weights = Array(8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
    sum = 0
    For i = 1 To 17
        place = InStr(1, "{LETTERS}", Mid(letters, i, 1), 0)
        If place = 0 Then
            MACRO_VIN_CHECK = "has a character that no VIN uses"
            Exit Function
        End If
        sum = sum + weights(i - 1) * ((place - 1) Mod 10)
    Next i
    expected = Mid("0123456789X", sum Mod 11 + 1, 1)
    If Mid(letters, 9, 1) = expected Then
        MACRO_VIN_CHECK = "ok"
    Else
        MACRO_VIN_CHECK = "check digit is " & Mid(letters, 9, 1) & ", expected " & expected
    End If
End Function

Function MACRO_VIN_YEAR(vin, latest_year)
    Dim latest, first
    latest = 2039
    If latest_year <> 0 Then latest = latest_year
    first = 1979 + InStr(1, "{YEARS}", Mid(UCase(Trim(vin)), 10, 1), 0)
    MACRO_VIN_YEAR = first + 30 * Int((latest - first) / 30)
End Function
"""

CHECKS = """
Function UnitOf(heading)
    Dim at
    at = InStr(heading, " (")
    If at > 0 Then UnitOf = Mid(heading, at + 2, Len(heading) - at - 2) Else UnitOf = ""
End Function

Function NameOf(heading)
    Dim at
    at = InStr(heading, " (")
    If at > 0 Then NameOf = Left(heading, at - 1) Else NameOf = heading
End Function

Function MACRO_CONFLICTS(headings, values)
    Dim text, c, value, unit, part
    text = ""
    For c = 1 To UBound(values, 2)
        value = values(1, c)
        part = ""
        If VarType(value) = 8 Then
            If value <> "" And LCase(value) <> "ok" Then part = headings(1, c) & ": " & value
        ElseIf value > 0 Then
            unit = UnitOf(headings(1, c))
            If value < 9.95 Then part = Format(value, "0.0") Else part = Format(value, "#,##0")
            part = NameOf(headings(1, c)) & " " & part
            If unit <> "" Then part = part & " " & unit
        End If
        If part <> "" Then
            If text <> "" Then text = text & "; "
            text = text & part
        End If
    Next c
    MACRO_CONFLICTS = text
End Function

Function MACRO_CONFLICT_COUNT(values)
    Dim c, value, count
    count = 0
    For c = 1 To UBound(values, 2)
        value = values(1, c)
        If VarType(value) = 8 Then
            If value <> "" And LCase(value) <> "ok" Then count = count + 1
        ElseIf value > 0 Then
            count = count + 1
        End If
    Next c
    MACRO_CONFLICT_COUNT = count
End Function

Function MACRO_NOT_CHECKED(headings, values)
    Dim text, c, value, blank
    text = ""
    For c = 1 To UBound(values, 2)
        value = values(1, c)
        blank = IsEmpty(value)
        If VarType(value) = 8 Then blank = (value = "")
        If blank Then text = text & "; " & NameOf(headings(1, c))
    Next c
    MACRO_NOT_CHECKED = Mid(text, 3)
End Function
"""

_MODULES = {
    "Tables": TABLES,
    "Ratings": RATINGS,
    "Vin": VIN,
    "Checks": CHECKS,
    "Placing": PLACING,
    "Hauling": HAULING,
    "DrivingOn": DRIVING_ON,
}


def modules_for(macro: str) -> dict[str, str]:
    """The Basic modules that a macro needs, text by name: no more, so that LibreOffice finds it at once."""
    needed = [name for name, text in _MODULES.items() if f"Function {macro}(" in text]
    return {name: _MODULES[name] for name in ("Tables", *needed)}
