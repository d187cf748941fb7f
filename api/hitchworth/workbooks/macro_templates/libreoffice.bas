' {{ purpose }}
Option Explicit

Const SERVER = {{ server | quoted }}
Const ADDRESS = {{ path | quoted }}
Const MARK = {{ mark | quoted }}

Sub Hitchworth
  Dim active As Object, sheet As Object, temp As Object, sent As Object, i As Long
  active = ThisComponent.CurrentController.ActiveSheet
  temp = createUnoService("com.sun.star.io.TempFile")
  sent = createUnoService("com.sun.star.io.TextOutputStream")
  sent.setOutputStream(temp.getOutputStream()) : sent.setEncoding("UTF-8")
  SendSheet(active, sent)
  For i = 0 To ThisComponent.Sheets.Count - 1
    sheet = ThisComponent.Sheets(i)
    If sheet.Name <> active.Name And sheet.IsVisible Then SendSheet(sheet, sent)
  Next
  sent.flush() : temp.seek(0)
  WriteRows(active, Answer(temp.getInputStream()))
End Sub

' The rows of a sheet as lines: its name, then the cells on the left of what an earlier run has written.
Sub SendSheet(sheet As Object, sent As Object)
  Dim row As Long, column As Long, own As Long, entry As String : own = OwnColumn(sheet)
  For row = 0 To LastCell(sheet).EndRow
    entry = sheet.Name
    For column = 0 To own - 1
      entry = entry & Chr(9) & CellText(sheet.getCellByPosition(column, row))
    Next
    sent.writeString(entry & Chr(10))
  Next
End Sub

' A number with a point, a date as YYYY-MM-DD, a text with an apostrophe before it, an error with #.
Function CellText(cell As Object) As String
  Dim style As Long
  If cell.getError() <> 0 Then
    CellText = "#" & cell.String
  ElseIf cell.FormulaResultType2 = com.sun.star.sheet.FormulaResult.VALUE Then
    style = ThisComponent.NumberFormats.getByKey(cell.NumberFormat).Type
    CellText = Trim(Str(cell.Value))
    If (style And com.sun.star.util.NumberFormat.DATE) <> 0 Then CellText = Format(cell.Value, "YYYY-MM-DD")
  ElseIf cell.String <> "" Then
    CellText = "'" & Replace(Replace(cell.String, Chr(9), " "), Chr(10), " ")
  End If
End Function

Function LastCell(sheet As Object) As Object
  Dim cursor As Object : cursor = sheet.createCursor()
  cursor.gotoEndOfUsedArea(False)
  LastCell = cursor.RangeAddress
End Function

' The column that an earlier run has written into, else the first free one.
Function OwnColumn(sheet As Object) As Long
  Dim row As Long, column As Long
  For column = 1 To LastCell(sheet).EndColumn
    OwnColumn = column
    For row = 0 To {{ mark_rows }}
      If Left(sheet.getCellByPosition(column, row).String, Len(MARK)) = MARK Then Exit Function
    Next
  Next
  OwnColumn = LastCell(sheet).EndColumn + 1
End Function

Function ClearedColumn(sheet As Object) As Long
  ClearedColumn = OwnColumn(sheet)
  sheet.getCellRangeByPosition(ClearedColumn, 0, ClearedColumn + {{ last }}, LastCell(sheet).EndRow).clearContents(23)
End Function

' What the server answers; nothing without an answer.
Function Answer(rows As Object) As String
  Dim broker As Object, pipe As Object, argument As Object, command As Object, reader As Object
  On Error Goto Failed
  broker = createUnoService("com.sun.star.ucb.UniversalContentBroker")
  pipe = createUnoService("com.sun.star.io.Pipe")
  argument = createUnoStruct("com.sun.star.ucb.PostCommandArgument2")
  argument.Source = rows : argument.Sink = pipe : argument.MediaType = {{ media_type | quoted }}
  command = createUnoStruct("com.sun.star.ucb.Command") : command.Name = "post"
  command.Handle = -1 : command.Argument = argument
  broker.queryContent(broker.createContentIdentifier(SERVER & ADDRESS)).execute(command, 0, Nothing)
  pipe.closeOutput() : reader = createUnoService("com.sun.star.io.TextInputStream")
  reader.setInputStream(pipe) : reader.setEncoding("UTF-8")
  Answer = reader.readString(Array(), False)
Failed:
End Function

Sub WriteRows(active As Object, received As String)
  Dim lines As Variant, parts As Variant, headings As Variant, sheet As Object, own As Long, i As Long, n As Long
  headings = Array({% for heading in headings %}{{ heading | quoted }}{{ ", " if not loop.last }}{% endfor %})
  lines = Split(received, Chr(10))
  If Left(received, {{ columns[0] | length + 1 }}) <> {{ columns[0] | quoted }} & Chr(9) Then
    active.getCellByPosition(ClearedColumn(active), 0).String = MARK & Problem(lines)
    Exit Sub
  End If
  For n = 1 To UBound(lines) - 1
    parts = Split(lines(n), Chr(9))
    sheet = ThisComponent.Sheets.getByName(parts({{ place.sheet }}))
    If parts({{ place.kind }}) = "heading" Then own = ClearedColumn(sheet)
    For i = 0 To {{ last }}
      If i < {{ last }} And parts({{ first }} + i) <> "" Then
        sheet.getCellByPosition(own + i, CLng(parts({{ place.row }})) - 1).Value = Val(parts({{ first }} + i))
      Else
        If parts({{ first }} + i) = "" And parts({{ place.kind }}) = "heading" Then parts({{ first }} + i) = headings(i)
        sheet.getCellByPosition(own + i, CLng(parts({{ place.row }})) - 1).String = parts({{ first }} + i)
      End If
    Next
  Next
End Sub

' Why there are no values, in a sentence.
Function Problem(lines As Variant) As String
  Dim parts As Variant : Problem = {{ texts.no_answer | quoted }}
  If UBound(lines) < 1 Then Exit Function
  parts = Split(lines(1), Chr(9))
  Problem = parts({{ problem.detail }}) & " " & parts({{ problem.expected }})
  If parts({{ problem.kind }}) = {{ key_problem | quoted }} Then Problem = Problem & " " & {{ texts.no_key_possible | quoted }}
End Function
